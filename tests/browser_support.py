"""Pages in headless Chromium, logged in and watched for broken promises."""

import os

import pytest
from django.test import Client
from playwright.sync_api import sync_playwright

from tests.plugin_requirements import chromium

DESKTOP = {"viewport": {"width": 1400, "height": 900}}
TABLET = {"viewport": {"width": 820, "height": 1180}, "has_touch": True}
PHONE = {"viewport": {"width": 360, "height": 760}, "has_touch": True}
# A browser under test asks nothing of the network.
QUIET = [
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-gpu",
    "--disable-quic",
    "--disable-sync",
    "--no-first-run",
]
REPORT_VIOLATIONS = """
addEventListener("securitypolicyviolation", event => console.error(
  `content security policy: ${event.violatedDirective} ${event.blockedURI}
   ${event.sourceFile}:${event.lineNumber} ${event.sample}`))
"""


class Watch:
    """What must not happen on any page: errors, violations, requests to other hosts."""

    def __init__(self, host):
        self.host = host
        self.faults = []
        self.expected = []

    def expect(self, words):
        """Let pass a fault that the test itself provokes, such as a refused page."""
        self.expected.append(words)

    def note(self, fault):
        if not any(words in fault for words in self.expected):
            self.faults.append(fault)

    def follow(self, page):
        page.on("console", lambda message: self.note_console(page, message))
        page.on("pageerror", lambda error: self.note(f"{page.url}: script: {error}"))
        page.on("request", self.note_request)

    def note_console(self, page, message):
        if message.type == "error":
            self.note(f"{page.url}: console: {message.text}")

    def note_request(self, request):
        if not request.url.startswith((self.host, "data:", "blob:", "about:")):
            self.note(f"request to another host: {request.url}")

    def taken(self):
        """The faults so far; the next page starts without them."""
        taken, self.faults = self.faults, []
        return "\n".join(taken)


def page_open(browser, watch, user=None, screen=DESKTOP):
    """A page in a context of its own, logged in as `user` without the form."""
    context = browser.new_context(base_url=watch.host, **screen)
    context.set_default_timeout(15_000)
    context.add_init_script(REPORT_VIOLATIONS)
    if user:
        client = Client()
        client.force_login(user, backend="django.contrib.auth.backends.ModelBackend")
        session = client.cookies["sessionid"].value
        context.add_cookies(
            [{"name": "sessionid", "value": session, "url": watch.host}]
        )
    page = context.new_page()
    watch.follow(page)
    return page


@pytest.fixture(scope="module")
def browser():
    """One browser a file. Playwright's loop runs in this thread as long as it lives."""
    before = os.environ.get("DJANGO_ALLOW_ASYNC_UNSAFE")
    with sync_playwright() as playwright:
        os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
        sandbox = ["--no-sandbox"] if os.geteuid() == 0 else []
        launched = playwright.chromium.launch(
            executable_path=chromium(), args=[*QUIET, *sandbox]
        )
        yield launched
        launched.close()
        if before is None:
            del os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"]
        else:
            os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = before


@pytest.fixture
def watch(live_server):
    return Watch(live_server.url)


@pytest.fixture
def open_page(browser, watch):
    """Call it with a user (or None) and a screen; the test fails on any fault seen."""
    pages = []

    def opened(user=None, screen=DESKTOP):
        pages.append(page_open(browser, watch, user, screen))
        return pages[-1]

    yield opened
    for page in pages:
        page.context.close()
    faults = watch.taken()
    assert not faults, faults


@pytest.fixture
def page(open_page):
    """A desk screen, nobody logged in."""
    return open_page()


@pytest.fixture
def tablet_page(open_page):
    """A tablet held upright, nobody logged in."""
    return open_page(screen=TABLET)
