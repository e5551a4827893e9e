"""The tablet form as a fitter works it; counts what the hand does."""

from datetime import UTC, datetime, timedelta
from io import BytesIO

from PIL import Image

STEPS = ("noticed", "found", "done", "checks", "hours", "story", "review")
SIGN = "Sign and send, findings complete"
# A swap of the seal as the tests type it.
TAG = "P-101"
STORY = "Faces burnt, no flush"


class TabletForm:
    """Answers by their words; `taps` and `typed` grow with each deed."""

    def __init__(self, page):
        self.page = page
        self.taps = 0
        self.typed = 0

    def tap(self, words, group=None, role=None):
        where = self.page.locator("[data-tablet]")
        if group:
            where = where.get_by_role("group", name=group).last
        roles = (role,) if role else ("radio", "button", "checkbox")
        found = [where.get_by_role(kind, name=words, exact=True) for kind in roles]
        target = found[0]
        for other in found[1:]:
            target = target.or_(other)
        target.filter(visible=True).first.tap()
        self.taps += 1

    def type(self, label, text, is_tapped=True):
        """A field that has the focus already needs no tap."""
        self.page.get_by_label(label, exact=True).filter(visible=True).first.fill(text)
        self.taps += is_tapped
        self.typed += len([sign for sign in text if sign not in "-:T"])

    def step(self, name):
        self.page.locator(f"[data-to={name}]").tap()
        self.taps += 1
        self.page.locator(f"[data-step={name}]").wait_for()

    def next(self):
        self.tap("Next")

    def find(self, characters=TAG):
        """The search has the focus; Enter takes the first pump found."""
        search = self.page.locator("[data-search]")
        search.fill(characters)
        self.page.locator("[data-found] button").first.wait_for()
        search.press("Enter")
        self.typed += len(characters) + 1
        self.page.locator("[data-step=noticed]").wait_for()

    def noticed(self, stopped=None):
        self.tap("It agrees")
        self.tap("Reported: Now")
        self.type("Stopped", stopped or stopped_yesterday(), is_tapped=False)
        self.tap("Corrective")
        self.tap("Process liquid leaks out")
        self.tap("Degraded: works below limit")
        self.tap("Casual observation")
        self.tap("Running")
        self.tap("Contained")

    def found(self):
        self.tap("Mechanical seal", group="Failed item")
        self.page.get_by_role("checkbox", name="Ran dry").tap()
        self.taps += 1
        self.page.locator("[data-hints]:not([hidden]) [data-do=agree]").first.tap()
        self.taps += 1

    def done(self):
        self.tap("Replace, same type", group="What was done")
        seal = "Seal, single end, inner"
        self.tap("A defect was detected", group=seal)
        self.tap("Yes", group="Defect seen before it was opened")
        self.tap("Worn", group=seal)
        self.tap("New", group=seal)

    def handed_back(self):
        self.tap("Handed back: Now")

    def photo(self, name="seal.png"):
        picture = {"name": name, "mimeType": "image/png", "buffer": picture_bytes()}
        self.page.set_input_files("[data-camera]", [picture])
        self.taps += 1
        self.page.locator("[data-photos] img").wait_for()

    def seal_swap(self, story=STORY, has_photo=True):
        """Every step up to the review."""
        self.noticed()
        self.next()
        self.found()
        self.next()
        self.done()
        self.step("hours")
        self.handed_back()
        self.next()
        self.type("In your own words", story)
        if has_photo:
            self.photo()
        self.next()

    def state(self, words):
        """Wait until the list says that the (only) repair is in this state."""
        self.page.locator("[data-drafts]").get_by_text(words, exact=True).wait_for()


def stopped_yesterday():
    yesterday = datetime.now(UTC) - timedelta(days=1)
    return f"{yesterday:%Y-%m-%dT%H:%M}"


def picture_bytes(width=2600, height=1300):
    """Larger than what a tablet sends."""
    written = BytesIO()
    Image.new("RGB", (width, height), (120, 90, 60)).save(written, "PNG")
    return written.getvalue()


def open_form(page):
    """The form with its register read and its worker in charge."""
    page.goto("/tablet/")
    page.locator("[data-register]", has_text="as of").wait_for()
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    return TabletForm(page)
