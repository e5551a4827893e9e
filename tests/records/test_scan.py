"""The camera button: shown where the browser reads codes, and sends what it read."""

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from plant.tags.labels import tag_path
from tests.browser_support import TABLET
from tests.factories.plant import PositionFactory, UserFactory

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

FIND = reverse("records:repair_find")
# A browser with a detector that sees one code, and a camera that shows a grey wall.
READER = """
globalThis.BarcodeDetector = class {
  static async getSupportedFormats() { return ["qr_code"]; }
  async detect() { return globalThis.SEEN ? [{ rawValue: globalThis.SEEN }] : []; }
};
navigator.mediaDevices.getUserMedia = async () => {
  const wall = document.createElement("canvas");
  wall.getContext("2d").fillRect(0, 0, 8, 8);
  globalThis.STREAM = wall.captureStream(5);
  return globalThis.STREAM;
};
"""
CAMERA_UNTIL = """wanted => new Promise(done => {
  const look = () => (Boolean(globalThis.STREAM?.active) === wanted)
    ? done() : setTimeout(look, 30);
  look();
})"""
NO_READER = "delete globalThis.BarcodeDetector;"


def camera_until(page, *, on):
    page.evaluate(CAMERA_UNTIL, on)


@pytest.fixture
def tablet(db, open_page):
    planner = UserFactory(role="planner")
    return open_page(planner, TABLET)


def test_without_a_detector_the_button_stays_away_and_the_code_is_typed(tablet):
    position = PositionFactory(tag="P-77")
    tablet.add_init_script(NO_READER)
    tablet.goto(FIND, wait_until="networkidle")
    assert tablet.get_by_role("button", name="Scan a tag").count() == 0
    tablet.fill("[name=code]", tag_path(position))
    tablet.keyboard.press("Enter")
    tablet.wait_for_url(f"**{reverse('records:repair_new')}?position={position.pk}")


def test_a_scanned_tag_leads_to_the_form_and_the_camera_goes_off(tablet, live_server):
    position = PositionFactory(tag="P-77")
    tablet.add_init_script(READER)
    tablet.goto(FIND, wait_until="networkidle")
    tablet.get_by_role("button", name="Scan a tag").tap()
    camera_until(tablet, on=True)
    tablet.get_by_role("button", name="Close the camera").tap()
    camera_until(tablet, on=False)
    tablet.evaluate(
        "url => { globalThis.SEEN = url; }", live_server + tag_path(position)
    )
    tablet.get_by_role("button", name="Scan a tag").tap()
    tablet.wait_for_url(f"**{reverse('records:repair_new')}?position={position.pk}")


def test_a_scanned_address_of_another_host_is_refused_in_words(tablet):
    tablet.add_init_script(READER)
    tablet.goto(FIND, wait_until="networkidle")
    tablet.evaluate("globalThis.SEEN = 'https://elsewhere.example/t/1H/'")
    tablet.get_by_role("button", name="Scan a tag").tap()
    alert = tablet.get_by_role("alert")
    assert "leads to elsewhere.example, not to this logbook" in alert.inner_text()


def test_a_camera_that_is_refused_is_answered_in_words(tablet):
    tablet.add_init_script(READER)
    tablet.goto(FIND, wait_until="networkidle")
    tablet.evaluate(
        """() => {
          navigator.mediaDevices.getUserMedia = async () => { throw new Error("no"); };
        }"""
    )
    tablet.get_by_role("button", name="Scan a tag").tap()
    words = tablet.get_by_text("The camera cannot be used.")
    words.wait_for()
    assert "type the code on the tag" in words.inner_text()


def test_results_come_as_one_types_and_every_target_is_big(tablet):
    PositionFactory(tag="P-77", service="Absorber circulation")
    PositionFactory(tag="P-2", service="Reflux")
    tablet.goto(FIND, wait_until="networkidle")
    assert tablet.locator(".repair-find__target").count() == 2
    tablet.locator("[name=text]").press_sequentially("absorb", delay=20)
    expect(tablet.locator(".repair-find__target")).to_have_count(1)
    assert tablet.url.endswith("?text=absorb")
    for box in tablet.locator("main a, main button:visible, main input").all():
        assert box.bounding_box()["height"] >= 44
