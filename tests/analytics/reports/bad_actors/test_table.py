"""Columns of the Bad actors page that come and go, and cells without a number."""

from datetime import date
from decimal import Decimal

import pytest

from analytics.reports.bad_actors.table import cells, columns, export_row
from records.models import Repair
from tests.analytics.reports.bad_actors.test_page import fleet, repairs_at, report_of
from tests.factories.plant import PositionFactory
from tests.factories.records import CostLineFactory

pytestmark = pytest.mark.django_db


def test_all_units_show_exposure_odds_own_trend_and_change(engineer):
    positions = fleet(12)
    PositionFactory(area=positions[0].area, in_service_on=date(2024, 6, 1))
    repairs_at(positions[0], 9)
    for position in positions[1:6]:
        repairs_at(position, 1)
    report = report_of(engineer)
    labels = labels_of(report)
    worst = report.flagged[0]
    shown = dict(zip(labels, cells(worst, report), strict=True))
    assert shown["Months in service"]["text"] == "12.0"
    assert shown["Odds of twice its peers"]["text"].endswith("%")
    own = shown["Own rate, and what comes back"]["text"]
    assert own == worst.trend.course.value
    assert shown["Against a month before"]["text"] == worst.change.value
    assert {len(cells(unit, report)) for unit in report.units} == {len(labels)}


def test_a_unit_without_a_cost_line_has_a_dash_and_no_number_in_the_file(engineer):
    positions = fleet(12)
    for position in positions[:2]:
        repairs_at(position, 1)
    repairs_at(positions[2], 1)
    paid, bare = Repair.objects.order_by("pk")[:2]
    CostLineFactory(repair=paid, amount=Decimal(0))
    report = report_of(engineer)
    found = {unit.label: unit for unit in report.units}
    free = cells(found[paid.position.tag], report)
    unpaid = cells(found[bare.position.tag], report)
    assert (free[-2]["text"], free[-2]["note"]) == ("0.00", "")
    assert (unpaid[-2]["text"], unpaid[-2]["note"]) == ("–", "no cost yet")
    assert export_row(found[bare.position.tag], report)[-4:] == [None] * 4


def labels_of(report):
    return [column.label for column in columns(report)]
