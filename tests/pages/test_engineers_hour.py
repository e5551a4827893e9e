"""The engineer's hour: from Fleet to a closed review, and what a correction does."""

import re
from datetime import timedelta
from io import BytesIO

import pytest
from django.db import transaction
from django.utils import timezone
from pypdf import PdfReader

from analytics.models import Review, ReviewState
from plant.models import Position, User
from records.choices import RepairState
from records.demo.people import DEMO_LOGINS
from records.models import Action, Repair
from tests.demo_plant import demo_put

pytestmark = pytest.mark.browser

DECISIONS = ("Act", "Watch", "Accept")
ACTIONS = 3
DUE = str(timezone.localdate() + timedelta(days=60))


@pytest.fixture
def demo(transactional_db):
    with transaction.atomic():
        demo_put(end=timezone.localdate())


def log_in(page, username):
    password = next(x.password for x in DEMO_LOGINS if x.username == username)
    page.goto("/login/")
    page.get_by_label("Username").fill(username)
    page.get_by_label("Password").fill(password)
    page.get_by_role("button", name="Log in").click()
    page.get_by_role("heading", name="Fleet today").wait_for()


def nav(page, name):
    page.get_by_role("navigation").get_by_role("link", name=name, exact=True).click()
    page.get_by_role("heading", level=1).wait_for()


def table_rows(page, caption):
    """Texts of a table's rows by the name in their first cell."""
    region = page.get_by_role("region", name=caption, exact=True)
    found = {}
    for row in region.locator("tbody tr").all():
        name = row.locator("th").get_by_role("link").first.inner_text()
        found[name] = [flat(cell) for cell in row.locator("th, td").all_inner_texts()]
    return found


def flat(text):
    return " ".join(text.split())


def flagged_of(page):
    rows = table_rows(page, "Units")
    return [name for name, cells in rows.items() if "flagged" in cells[0].split()]


def understand_the_worst(page):
    """From Fleet over Bad actors to the story of the worst unit; back comes its tag."""
    nav(page, "Bad actors")
    flagged = page.get_by_role("region", name="Flagged by evidence", exact=True)
    worst = flagged.locator("tbody th a").first
    tag = worst.inner_text()
    worst.click()
    page.get_by_role("heading", name=re.compile(tag)).first.wait_for()
    assert "/story/" in page.url
    return tag


def open_the_month(page):
    nav(page, "Reviews")
    page.get_by_label("Window that ends with it").select_option("36 months")
    page.get_by_role("button", name="Open the month").click()
    page.get_by_role("heading", name=re.compile("Review of")).wait_for()


def decide(page, unit, decision, *, with_action):
    """One unit decided, on the way an action; the page comes back to the review."""
    row = page.get_by_role("row").filter(has=page.get_by_role("link", name=unit))
    row.get_by_role("link").last.click()
    assert page.get_by_text("Sure to be worse than twice its peers").is_visible()
    if with_action:
        page.get_by_role("link", name="Decide an action for it").click()
        page.get_by_label("What will be done").fill(f"Look into {unit}")
        page.get_by_label("Kind of change").select_option("Other")
        page.get_by_label("Due").fill(DUE)
        page.get_by_role("button", name="Store the decision").click()
        chosen = page.get_by_label("Action").locator("option:checked")
        assert flat(chosen.inner_text()).startswith(f"Look into {unit}")
        assert page.get_by_label("Decision").input_value() == "act"
    page.get_by_label("Decision").select_option(decision)
    page.get_by_label("Note").fill(f"Note about {unit}")
    page.get_by_role("button", name="Store the decision").click()
    page.get_by_role("heading", name=re.compile("Review of")).wait_for()
    assert f"{decision}. Note about {unit}" in table_rows(page, "Units")[unit][-1]


def decide_all(page, flagged):
    """Every flagged unit decided, and as many actions as the hour should bring."""
    others = [name for name in table_rows(page, "Units") if name not in flagged]
    units = [*flagged, *others[: max(0, ACTIONS - len(flagged))]]
    for place, unit in enumerate(units):
        decision = DECISIONS[place % len(DECISIONS)]
        decide(page, unit, decision, with_action=place < ACTIONS)
    return units


def close_the_month(page):
    page.get_by_role("link", name="Close this month").click()
    page.get_by_role("button", name="Close the month").click()
    page.get_by_text("Figures, rule and window are frozen").first.wait_for()


def text_of_pdf(page):
    href = page.get_by_role("link", name="PDF").get_attribute("href")
    reader = PdfReader(BytesIO(page.request.get(href).body()))
    return flat(" ".join(sheet.extract_text() for sheet in reader.pages))


def counted_repair(review, tag):
    """A signed repair of the unit in the year before the month, at its seal."""
    first = review.month - timedelta(days=300)
    return Repair.objects.filter(
        position=Position.objects.get(tag=tag),
        state=RepairState.SIGNED,
        item="mechanical seal",
        reported_at__date__range=(first, review.month),
    ).first()


def correct(page, repair):
    """Say that it was the oil after all: no repair that counts."""
    page.goto(f"/repairs/{repair.pk}/correct/")
    page.get_by_label("Reason for the correction").fill("It was the oil")
    page.get_by_label("Failed item").select_option("oil")
    page.get_by_role("button", name="Store the correction").click()
    page.get_by_text(f"{repair} is signed.").wait_for()


def test_from_fleet_to_a_closed_review_and_a_later_correction(demo, open_page, watch):
    page = open_page()
    log_in(page, "engineer")
    worst = understand_the_worst(page)
    open_the_month(page)
    flagged = flagged_of(page)
    assert worst in flagged
    units = decide_all(page, flagged)
    assert Action.objects.count() == ACTIONS
    close_the_month(page)
    review = Review.objects.get()
    assert review.state == ReviewState.CLOSED
    closed_rows, paper = table_rows(page, "Units"), text_of_pdf(page)
    assert set(table_rows(page, "Actions")) == {f"Look into {u}" for u in units[:3]}
    for unit in units:
        decided = closed_rows[unit][-1]
        assert f"Note about {unit}" in decided
        assert decided in paper

    repair = counted_repair(review, worst)
    planner = open_page()
    log_in(planner, "planner")
    watch.expect("403")
    assert planner.goto(f"/repairs/{repair.pk}/correct/").status == 403
    planner.goto(review.get_absolute_url())
    assert planner.get_by_role("link", name="Close this month").count() == 0
    assert planner.get_by_text("Differences since the closing").count() == 0

    correct(page, repair)
    page.goto(review.get_absolute_url())
    assert table_rows(page, "Units") == closed_rows
    assert text_of_pdf(page) == paper
    differences = page.get_by_role("region", name="Differences since the closing")
    line = differences.get_by_role("row").filter(has_text=f"{worst}: repairs")
    _, frozen, now = line.locator("th, td").all_inner_texts()
    assert frozen == closed_rows[worst][1]
    assert int(now) == int(frozen) - 1
    assert User.objects.get(username="engineer") == review.closed_by
