"""Findings in a browser: patterns follow the item, suggestions follow the ticks."""

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from records.models import Repair
from records.services.repairs import repair_log
from tests.browser_support import TABLET
from tests.factories.plant import UserFactory
from tests.records.plant_at_hand import FINISHED, NOTHING_MOVED, plant_at_hand

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def opened(open_page):
    """A signed repair, and its findings open on a tablet."""
    planner, here = UserFactory(role="planner"), plant_at_hand()
    repair = repair_log(
        by=planner, position=here.position, sign=True, as_is=NOTHING_MOVED, **FINISHED
    )
    page = open_page(planner, TABLET)
    page.goto(reverse("records:repair_findings", args=[repair.pk]))
    return repair, page


def test_an_item_brings_its_patterns_and_a_tick_its_suggestion(opened):
    repair, page = opened
    page.get_by_label("Ran dry").first.check()
    expect(page.locator("#suggestions")).to_contain_text("mechanism 2.7, Overheating")
    page.get_by_label("Note on: Ran dry").fill("Level was low")
    page.get_by_label("Failed item").select_option("radial bearing")
    rust = page.get_by_label("Moisture corrosion").first
    expect(rust).to_be_visible()
    # What was ticked and noted before stays in sight.
    expect(page.get_by_label("Ran dry").first).to_be_checked()
    expect(page.get_by_label("Note on: Ran dry")).to_have_value("Level was low")
    expect(page.get_by_label("Mechanism")).to_have_value("")
    assert not repair.teardown_findings.exists()


def test_findings_are_signed_after_the_error_is_mended(opened):
    repair, page = opened
    page.get_by_label("Mechanism").select_option("2.7")
    page.get_by_role("button", name="Store and sign the findings").click()
    page.get_by_role("link", name="Cause").click()
    page.get_by_label("Cause").select_option("3.2")
    page.get_by_role("button", name="Store and sign the findings").click()
    expect(page.get_by_text("Signed by")).to_be_visible()
    assert Repair.objects.get(pk=repair.pk).findings_signed_at is not None
