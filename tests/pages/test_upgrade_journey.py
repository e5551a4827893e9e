"""The manager's way: two cases worked out, compared, one turned into an action."""

from datetime import timedelta

import pytest
from django.db import transaction
from django.utils import timezone

from records.demo.truths import BAD_ACTORS
from records.models import Action, UpgradeCase
from tests.demo_plant import demo_put
from tests.pages.test_engineers_hour import flat, log_in

pytestmark = pytest.mark.browser

DUE = str(timezone.localdate() + timedelta(days=90))


@pytest.fixture
def demo(transactional_db):
    with transaction.atomic():
        demo_put(end=timezone.localdate())


def work_out(page, name, change, tags, typed):
    """A case typed into the form; the page of the case comes."""
    main = page.get_by_role("navigation", name="Main")
    main.get_by_role("link", name="Costs", exact=True).click()
    views = page.get_by_role("navigation", name="Views of costs")
    views.get_by_role("link", name="Upgrade cases").click()
    page.get_by_role("link", name="New case").first.click()
    page.get_by_label("Name of the case").fill(name)
    page.get_by_label("Kind of change").select_option(change)
    page.get_by_label("Positions").fill(", ".join(tags))
    for label, value in typed.items():
        page.get_by_label(label, exact=True).fill(value)
    page.get_by_role("button", name="Work it out and store it").click()


def side_by_side(page):
    """Texts of the comparison by the name of the line."""
    region = page.get_by_role("region", name="Side by side", exact=True)
    found = {}
    for row in region.locator("tbody tr").all():
        cells = [flat(cell) for cell in row.locator("th, td").all_inner_texts()]
        found[cells[0]] = cells[1:]
    return found


def typed_case(page):
    """A case that rests on no record, after a tag that does not exist was named."""
    work_out(page, "Other faces", "seal type", ["P-1117", "P-9999"], {})
    page.get_by_text("No such tag at Halvermouth Works: P-9999.").first.wait_for()
    page.get_by_label("Positions").fill(", ".join(BAD_ACTORS))
    page.get_by_label("Purchase, likely").fill("9000")
    page.get_by_label("Typed by hand").check()
    page.get_by_label("typed, least").fill("0.4")
    page.get_by_label("typed, likely").fill("0.5")
    page.get_by_label("typed, most").fill("0.8")
    page.get_by_role("button", name="Work it out and store it").click()
    page.get_by_text("Stored. The answer is below.").wait_for()
    assert page.get_by_text("rests on no record").first.is_visible()


def test_a_manager_compares_two_cases_and_turns_one_into_an_action(demo, open_page):
    page = open_page()
    log_in(page, "manager")
    typed_case(page)
    cooled = {
        "Purchase, likely": "4600",
        "Piping plan now": "11",
        "Piping plan after the change": "21",
    }
    work_out(page, "Cooled flush", "piping plan", BAD_ACTORS, cooled)
    page.get_by_role("heading", name="Cooled flush").wait_for()
    first, second = UpgradeCase.objects.order_by("pk")

    page.get_by_role("link", name="Compare", exact=True).click()
    page.get_by_label("Other faces").check()
    page.get_by_role("button", name="Compare").click()
    page.get_by_role("heading", name="Upgrade cases compared").wait_for()
    lines = side_by_side(page)
    assert lines["Spent once"][0].startswith("EUR 4,600")
    assert lines["Spent once"][1].startswith("EUR 9,000")
    assert all("%" in cell for cell in lines["Chance of payback in 24 months"])

    page.goto(first.get_absolute_url())
    page.get_by_role("link", name="Turn into an action").click()
    page.get_by_label("Owner").select_option("engineer")
    page.get_by_label("Due").fill(DUE)
    page.get_by_role("button", name="Decide it and freeze the promise").click()
    page.get_by_role("heading", name="Promise and reality").wait_for()
    assert page.get_by_role("link", name="Change", exact=True).count() == 0
    action = Action.objects.get()
    page.get_by_role("link", name="Turned into an action").click()
    page.get_by_role("heading", name="Other faces").wait_for()
    assert page.get_by_text("Promised by the upgrade case").is_visible()
    assert {p.tag for p in action.positions.all()} == set(BAD_ACTORS)
    second.refresh_from_db()
    assert second.action is None
