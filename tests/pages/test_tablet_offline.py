"""The tablet form without network: nothing is lost, and nothing is stored twice."""

import json

import pytest
from django.contrib.sessions.models import Session

from plant.choices import Location
from plant.models import FittedLife
from records.models import Photo, Repair, TabletEntry
from tests.browser_support import QUIET, TABLET
from tests.factories.plant import UserFactory
from tests.pages.tablet_form import SIGN, STORY, open_form, picture_bytes
from tests.pages.tablet_without_network import (
    begun_without_network,
    log_in,
    signed_without_network,
)
from tests.plugin_requirements import chromium
from tests.records.plant_at_hand import plant_at_hand

pytestmark = pytest.mark.browser


SLOW_PICTURES = """() => {
  const made = createImageBitmap;
  window.createImageBitmap = async (file) => {
    await new Promise((resolve) => setTimeout(resolve, 2500));
    return made(file);
  };
}"""


@pytest.fixture
def here(transactional_db):
    return plant_at_hand()


@pytest.fixture
def fitter(transactional_db):
    return UserFactory(username="fitter", role="fitter")


@pytest.fixture
def start(browser, live_server, tmp_path):
    """Opens the same tablet, with what it kept, as often as it is called."""
    contexts = []

    def started():
        context = browser.browser_type.launch_persistent_context(
            tmp_path / "tablet",
            executable_path=chromium(),
            args=[*QUIET, "--no-sandbox"],
            base_url=live_server.url,
            **TABLET,
        )
        context.set_default_timeout(15_000)
        contexts.append(context)
        return context, context.pages[0]

    yield started
    for context in contexts:
        context.close()


def test_a_swap_without_network_outlives_the_browser_and_is_stored_once(
    here, fitter, start, live_server
):
    context, page = start()
    log_in(context, fitter, live_server.url)
    open_form(page)
    begun_without_network(context, page)
    context, page = start()
    form = signed_without_network(context, page)
    assert Repair.objects.count() == 0
    log_in(context, fitter, live_server.url)
    context.set_offline(False)
    form.state("Sent")
    repair = Repair.objects.get()
    assert repair.is_signed
    assert repair.text == STORY
    assert Photo.objects.get().repair == repair
    here.seal.refresh_from_db()
    assert here.seal.removed_at == repair.stopped_at
    fitted = FittedLife.objects.still_in().get(location=Location.SEAL_SINGLE_INNER)
    assert fitted != here.seal
    form.tap("Remove from this list")
    page.locator("[data-drafts] li").wait_for(state="detached")


def test_a_draft_survives_a_session_that_ended_without_network(
    here, fitter, open_page, watch
):
    watch.expect("401")
    watch.expect("ERR_INTERNET_DISCONNECTED")
    page = open_page(fitter, TABLET)
    form = open_form(page)
    page.context.set_offline(True)
    form.find()
    form.seal_swap(has_photo=False)
    form.tap(SIGN)
    form.state("Waiting to be sent")
    form.tap("Take back to read or mend")
    assert STORY in page.inner_text("[data-review]")
    form.tap(SIGN)
    form.state("Waiting to be sent")
    Session.objects.all().delete()
    page.context.set_offline(False)
    page.get_by_role("link", name="Log in to send").wait_for()
    form.state("Waiting to be sent")
    log_in(page.context, fitter, watch.host)
    page.goto("/tablet/")
    form.state("Sent")
    assert Repair.objects.count() == 1


def test_the_next_person_sees_no_draft_of_the_one_before(
    here, fitter, open_page, watch
):
    page = open_page(fitter, TABLET)
    form = open_form(page)
    form.find()
    form.tap("It agrees")
    page.wait_for_timeout(400)
    other = UserFactory(username="other", role="fitter")
    log_in(page.context, other, watch.host)
    form = open_form(page)
    page.get_by_text("1 repair of another person kept here.").wait_for()
    assert page.locator("[data-drafts] li").count() == 0
    assert "P-101" not in page.inner_text("main")


def test_an_answer_that_never_arrived_is_asked_again_and_stored_once(
    here, fitter, open_page, watch
):
    watch.expect("ERR_FAILED")
    page = open_page(fitter, TABLET)
    form = open_form(page)
    form.find()
    form.seal_swap(has_photo=False)
    page.evaluate(SLOW_PICTURES)
    picture = {"name": "a.png", "mimeType": "image/png", "buffer": picture_bytes()}
    page.set_input_files("[data-camera]", [picture])
    lost = []

    def lose(route):
        lost.append(route.fetch().status)
        route.abort()

    page.context.route("**/tablet/entries/", lose, times=1)
    form.tap(SIGN)
    form.state("Waiting to be sent")
    with page.expect_response("**/tablet/register.json"):
        page.get_by_role("button", name="Send what is waiting now").tap()
        form.state("Sent")
    assert lost == [201]
    assert (Repair.objects.count(), Photo.objects.count()) == (1, 1)
    assert TabletEntry.objects.count() == 1
    form.find()
    page.get_by_text("0 days since the last repair").wait_for()


def test_a_page_in_the_place_of_an_answer_is_not_taken_for_one(
    here, fitter, open_page, watch
):
    page = open_page(fitter, TABLET)
    form = open_form(page)
    form.find()
    form.seal_swap(has_photo=False)
    answers = iter(
        [
            {"status": 200, "content_type": "text/html", "body": "<h1>Log in</h1>"},
            {
                "status": 200,
                "content_type": "application/json",
                "body": '{"key": "other"}',
            },
            {"status": 302, "headers": {"location": "/login/"}},
        ]
    )
    asked = "**/tablet/entries/"
    page.context.route(asked, lambda route: route.fulfill(**next(answers)), times=3)
    form.tap(SIGN)
    for _answer in range(2):
        page.wait_for_timeout(500)
        form.tap("Send what is waiting now")
    page.wait_for_timeout(500)
    form.state("Waiting to be sent")
    assert list(answers) == []
    assert Repair.objects.count() == 0
    form.tap("Send what is waiting now")
    form.state("Sent")


def test_logging_out_asks_before_it_clears_what_is_not_sent(
    here, fitter, open_page, watch
):
    page = open_page(fitter, TABLET)
    form = open_form(page)
    form.find()
    form.tap("It agrees")
    second = page.context.new_page()
    second.goto("/tablet/")
    second.get_by_role("button", name="Go on", exact=True).tap()
    second.get_by_text("This draft is open in another tab.").wait_for()
    assert not second.locator("[data-work]").is_visible()
    second.close()
    page.context.set_offline(True)
    page.get_by_role("link", name="All cautions").tap()
    told = page.get_by_role("dialog", name="Without network")
    assert told.locator("p").count() > 1
    told.get_by_role("button", name="Close").tap()
    page.context.set_offline(False)
    page.wait_for_timeout(400)
    page.goto("/repairs/")
    page.get_by_text("Menu", exact=True).tap()
    page.context.set_offline(True)
    page.get_by_role("button", name="Log out", exact=True).tap()
    offline = page.get_by_role("dialog", name="No network")
    assert "nothing was cleared" in offline.inner_text()
    offline.get_by_role("button", name="Close").tap()
    page.context.set_offline(False)
    page.get_by_role("button", name="Log out", exact=True).tap()
    ask = page.get_by_role("dialog", name="Repairs not sent")
    assert "1 repair is kept on this tablet and not sent." in ask.inner_text()
    ask.get_by_role("button", name="Stay logged in").tap()
    assert page.url.endswith("/repairs/")
    page.get_by_role("button", name="Log out", exact=True).tap()
    ask.get_by_role("button", name="clear them for good").tap()
    page.wait_for_url("**/login/")
    log_in(page.context, fitter, watch.host)
    open_form(page)
    assert page.locator("[data-drafts] li").count() == 0


def test_what_two_fitters_logged_comes_back_as_a_question(
    here, fitter, open_page, watch
):
    watch.expect("409")
    other = UserFactory(username="other", role="fitter")
    pages = [open_page(person, TABLET) for person in (fitter, other)]
    for page in pages:
        form = open_form(page)
        page.context.set_offline(True)
        watch.expect("ERR_INTERNET_DISCONNECTED")
        form.find()
        form.seal_swap(has_photo=False, story=f"As I saw it, {page.viewport_size}")
        form.tap(SIGN)
        form.state("Waiting to be sent")
    for page, words in zip(pages, ("Sent", "Needs an answer"), strict=True):
        page.context.set_offline(False)
        page.locator("[data-drafts]").get_by_text(words, exact=True).wait_for()
    link = pages[1].get_by_role("link", name="Answer")
    assert "/repairs/questions/" in link.get_attribute("href")
    assert Repair.objects.count() == 1


def test_two_tabs_send_the_same_queue_once(here, fitter, open_page, watch):
    watch.expect("ERR_INTERNET_DISCONNECTED")
    page = open_page(fitter, TABLET)
    form = open_form(page)
    page.context.set_offline(True)
    form.find()
    form.seal_swap(has_photo=False)
    form.tap(SIGN)
    form.state("Waiting to be sent")
    sent = []
    page.context.on(
        "request",
        lambda asked: (
            sent.append(json.loads(asked.post_data)["key"])
            if asked.method == "POST" and asked.url.endswith("/tablet/entries/")
            else None
        ),
    )
    second = page.context.new_page()
    page.context.set_offline(False)
    second.goto("/tablet/")
    form.state("Sent")
    second.locator("[data-drafts]").get_by_text("Sent", exact=True).wait_for()
    assert len(sent) == 1
    assert Repair.objects.count() == 1
