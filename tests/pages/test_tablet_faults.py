"""The tablet form: what is missing or impossible is said before it is sent."""

import pytest
from axe_playwright_python.sync_playwright import Axe

from records.models import Repair
from tests.browser_support import TABLET
from tests.factories.plant import UserFactory
from tests.pages.tablet_form import SIGN, open_form
from tests.records.plant_at_hand import plant_at_hand

pytestmark = pytest.mark.browser


@pytest.fixture
def here(transactional_db):
    return plant_at_hand()


@pytest.fixture
def fitter(transactional_db):
    return UserFactory(username="fitter", role="fitter")


def faults_by_axe(page):
    options = {"preload": False, "resultTypes": ["violations"]}
    found = Axe().run(page, options=options).response["violations"]
    return [f"{f['id']} {[n['target'] for n in f['nodes']]}" for f in found]


def test_faults_lead_to_their_fields(here, fitter, open_page):
    page = open_page(fitter, TABLET)
    form = open_form(page)
    form.find()
    form.step("review")
    form.tap(SIGN)
    summary = page.locator("[data-faults]")
    assert summary.evaluate("element => element === document.activeElement")
    assert "Say what was done." in summary.inner_text()
    summary.get_by_role("link", name="What was done").tap()
    field = page.locator("#id_done-activity")
    assert field.evaluate("element => element === document.activeElement")
    assert field.get_attribute("aria-invalid") == "true"
    assert faults_by_axe(page) == []
    form.step("noticed")
    assert faults_by_axe(page) == []
    form.tap("Corrective")
    page.evaluate("history.back()")
    page.locator("[data-step=done]").wait_for()
    form.tap("Another pump")
    page.wait_for_timeout(300)
    assert page.evaluate("history.state") is None
    form.tap("Go on")
    page.locator("[data-step=done]").wait_for()
    page.evaluate("history.back()")
    page.locator("[data-home]").wait_for()
    assert Repair.objects.count() == 0


def test_what_the_server_refuses_comes_back_to_its_field(
    here, fitter, open_page, watch
):
    watch.expect("422")
    page = open_page(fitter, TABLET)
    form = open_form(page)
    form.find()
    form.seal_swap(has_photo=False)
    form.step("noticed")
    form.type("Stopped", "2035-01-01T10:00")
    form.step("hours")
    page.locator("#id_hours-man_hours").fill("lots")
    form.step("review")
    form.tap(SIGN)
    seen = page.locator("[data-faults]").inner_text()
    assert "Stopped: This time is still to come." in seen
    assert "Man-hours: Enter a number." in seen
    form.step("hours")
    page.locator("#id_hours-man_hours").fill("")
    form.step("noticed")
    form.type("Stopped", "1949-01-01T10:00")
    form.step("review")
    assert "Serial number on the plate" in page.inner_text("[data-review]")
    assert "This life ends as: Failed" in page.inner_text("[data-review]")
    form.tap(SIGN)
    form.state("Kept here, to be mended")
    assert Repair.objects.count() == 0
    form.tap("Go on")
    fault = page.locator("[data-faults] li", has_text="before 1950")
    fault.get_by_role("link", name="Stopped").tap()
    stopped = page.locator("#id_noticed-stopped_at")
    assert stopped.evaluate("element => element === document.activeElement")
    assert stopped.input_value() == "1949-01-01T10:00"
