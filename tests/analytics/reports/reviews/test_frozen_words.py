"""What a closed review says after names, costs or rows behind it have changed."""

from datetime import date

import pytest
from django.urls import reverse

from analytics.exposure import months_back
from analytics.models import Review
from analytics.reports.reviews.current import sheet_for
from analytics.reports.reviews.differences import UNNAMED, review_differences
from analytics.reports.reviews.figures import review_figures
from analytics.services.reviews import review_close, review_decide, review_open
from tests.analytics.reports.reviews.conftest import MARCH
from tests.analytics.reports.reviews.test_same_figures import (
    text_of_page,
    text_of_pdf,
)
from tests.factories.actions import ActionFactory
from tests.factories.records import CostLineFactory, RepairFactory


@pytest.fixture
def frozen(review, engineer, site):
    """Closed with an act upon P-00 and a unit that is not listed under watch."""
    worst, quiet = site.positions.get(tag="P-00"), site.positions.get(tag="P-07")
    action = ActionFactory(site=site, title="Larger bearing", positions=[worst])
    review_decide(by=engineer, review=review, unit=worst, decision="act", action=action)
    review_decide(by=engineer, review=review, unit=quiet, decision="watch")
    for repair in site.repairs.filter(position=worst):
        CostLineFactory(repair=repair, amount=1000, currency="EUR")
    return review_close(by=engineer, review=review)


def said(review, engineer_client):
    """Page without its notice of differences, and paper."""
    page = text_of_page(engineer_client.get(review.get_absolute_url()))
    paper = engineer_client.get(reverse("analytics:review_pdf", args=[review.pk]))
    return page.partition("Mean time between repairs")[2], text_of_pdf(paper.content)


def test_new_names_change_nothing_that_a_closed_review_says(
    frozen, site, engineer, engineer_client
):
    before = said(frozen, engineer_client)
    for tag in ("P-00", "P-07"):
        site.positions.filter(tag=tag).update(tag=f"X-{tag}")
    action = frozen.decisions.get(action__isnull=False).action
    action.title = "Smaller bearing"
    action.save()
    type(engineer).objects.filter(pk=engineer.pk).update(username="somebody-else")
    type(site).objects.filter(pk=site.pk).update(name="Elsewhere")
    again = Review.objects.get(pk=frozen.pk)
    after = said(again, engineer_client)
    assert after[1] == before[1]
    assert after[0] == before[0]
    for where in after:
        assert "Act. Action: Larger bearing" in where
        assert "P-07" in where
    assert f"Closed by {engineer} on" in sheet_for(again, engineer).state


def test_a_review_closed_before_words_were_frozen_still_opens(frozen, engineer):
    older = {k: v for k, v in frozen.figures.items() if k not in ("decided", "site")}
    frozen.figures = older
    decided = {unit.name: unit.decided for unit in sheet_for(frozen, engineer).units}
    assert decided["P-00"] == "Act. Action: Larger bearing"


def test_a_cost_booked_later_is_a_difference_of_its_unit_and_of_the_total(
    frozen, site, engineer, manager
):
    CostLineFactory(
        repair=site.repairs.get(number="R-00-03"), amount=500, currency="EUR"
    )
    found = {row.about: row for row in review_differences(frozen, engineer).rows}
    assert set(found) == {"EUR, repair cost of the window", "P-00: cost in EUR"}
    total = found["EUR, repair cost of the window"]
    assert "12,000" in total.frozen.replace("\u00a0", " ")
    assert "12,500" in total.now


def test_rows_that_move_no_figure_are_said_in_one_sentence(
    frozen, site, engineer_client
):
    site.positions.filter(tag="P-05").update(tag="P-99")
    page = engineer_client.get(frozen.get_absolute_url())
    assert page.context["differences"] == []
    assert UNNAMED in text_of_page(page)


def test_the_hash_covers_the_months_of_the_rolling_line(frozen, site, engineer):
    position = site.positions.get(tag="P-05")
    old = months_back(date(2025, 3, 31), 40)
    moment = f"{old} 09:00Z"
    RepairFactory(
        position=position,
        pump=site.repairs.filter(position=position).first().pump,
        reported_at=moment,
        stopped_at=moment,
        returned_at=moment,
        number="R-OLD",
    )
    rows = review_differences(frozen, engineer).rows
    assert [row.about[:23] for row in rows] == ["Rolling MTBR in months,"]


@pytest.mark.parametrize("months", [24, 36])
def test_a_longer_window_compares_two_years_that_do_not_overlap(site, engineer, months):
    long = review_open(
        by=engineer, site=site, month=date(2025, 4, 1), window_months=months
    )
    short = review_open(by=engineer, site=site, month=MARCH)
    short.month, short.window_months = date(2025, 4, 1), 12
    year = review_figures(short, engineer)
    found = review_figures(long, engineer)
    by_label = {row["label"]: row for row in found["headline"]}
    assert list(by_label) == [
        "MTBR of the window",
        "MTBR, last 12 months",
        "MTBR, the year before",
    ]
    of_year = {row["label"]: row["sample"] for row in year["headline"]}
    last = by_label["MTBR, last 12 months"]["sample"]
    assert last == of_year["MTBR of the window"]
    before = by_label["MTBR, the year before"]["sample"]
    assert before == of_year["MTBR, the year before"]
    assert found["verdict"] == year["verdict"]
