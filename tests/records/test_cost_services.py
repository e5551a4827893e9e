"""The ledger of cost lines: added, replaced, never rewritten; and its sums."""

from datetime import date
from decimal import Decimal

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from records.choices import CostKind, CostStatus, RepairState
from records.models import CostLine, Repair
from records.selectors.cost_totals import CostTotals, cost_totals, totals_of_lines
from records.services.costs import CostEntry, cost_line_add, cost_line_replace
from tests.factories.records import CostLineFactory, RepairFactory

SIGNED = {"state": RepairState.SIGNED, "signed_at": "2024-04-01T00:00Z"}


def entry(amount, kind=CostKind.PARTS, **more):
    return CostEntry(kind, Decimal(amount), CostStatus.BOOKED, **more)


def test_a_cost_is_added_to_a_signed_repair(planner):
    repair = RepairFactory(**SIGNED)
    line = cost_line_add(
        by=planner, repair=repair, entry=entry("12.30", booked_on=date(2024, 5, 1))
    )
    assert (line.currency, line.booked_on, line.entered_by) == (
        "EUR",
        date(2024, 5, 1),
        planner,
    )


def test_a_void_repair_takes_no_cost(planner):
    repair = RepairFactory(
        **{**SIGNED, "state": RepairState.VOID}, void_reason="Wrong", number="R-1"
    )
    with pytest.raises(ValidationError, match="R-1 is void; it takes no more costs"):
        cost_line_add(by=planner, repair=repair, entry=entry(1))


def test_an_amount_below_zero_is_refused(planner):
    with pytest.raises(ValidationError, match="to strike a line, replace it by 0"):
        cost_line_add(by=planner, repair=RepairFactory(), entry=entry(-1))


@pytest.mark.parametrize("currency", ["EURO", "E1R", "€"])
def test_a_currency_is_three_letters(planner, currency):
    with pytest.raises(ValidationError) as refused:
        cost_line_add(
            by=planner, repair=RepairFactory(), entry=entry(1, currency=currency)
        )
    assert not CostLine.objects.exists()
    assert refused.value.messages


def test_managers_add_no_cost(manager):
    with pytest.raises(PermissionDenied):
        cost_line_add(by=manager, repair=RepairFactory(), entry=entry(1))


def test_a_better_figure_stands_in_place_of_the_first(planner):
    first = CostLineFactory(amount=Decimal("100.00"))
    cost_line_replace(by=planner, line=first, entry=entry("80.00"))
    assert [line.amount for line in CostLine.objects.standing()] == [Decimal("80.00")]
    assert CostLine.objects.count() == 2
    assert cost_totals(Repair.objects.all()) == [CostTotals("EUR", Decimal("80.00"))]


def test_a_line_is_replaced_once(planner):
    first = CostLineFactory(amount=Decimal("100.00"))
    cost_line_replace(by=planner, line=first, entry=entry("80.00"))
    with pytest.raises(ValidationError, match=r"already replaced by 80.00 EUR"):
        cost_line_replace(by=planner, line=first, entry=entry("70.00"))


def test_sums_keep_kinds_and_currencies_apart(db):
    repair = RepairFactory()
    for kind, amount, currency in [
        (CostKind.LABOUR, "0.10", "EUR"),
        (CostKind.PARTS, "0.20", "EUR"),
        (CostKind.CONTRACTOR, "1000000.01", "EUR"),
        (CostKind.OTHER, "0.03", "EUR"),
        (CostKind.LOST_PRODUCTION, "7.00", "EUR"),
        (CostKind.ENVIRONMENT_SAFETY, "9.00", "EUR"),
        (CostKind.PARTS, "5.00", "USD"),
    ]:
        CostLineFactory(
            repair=repair, kind=kind, amount=Decimal(amount), currency=currency
        )
    expected = [
        CostTotals("EUR", Decimal("1000000.34"), Decimal("7.00"), Decimal("9.00")),
        CostTotals("USD", Decimal("5.00")),
    ]
    assert cost_totals(Repair.objects.all()) == expected
    assert totals_of_lines(repair.cost_lines.standing()) == expected


def test_sums_are_exact_to_the_cent_over_many_lines(db):
    repair = RepairFactory()
    CostLine.objects.bulk_create(
        CostLine(
            repair=repair,
            kind=CostKind.PARTS,
            amount=Decimal("0.10"),
            currency="EUR",
            status=CostStatus.BOOKED,
            booked_on=date(2024, 1, 1),
        )
        for _ in range(3000)
    )
    assert cost_totals(Repair.objects.all())[0].repair_cost == Decimal("300.00")


def test_void_repairs_are_not_added_up(db):
    repair = RepairFactory(**{**SIGNED, "state": RepairState.VOID}, void_reason="Wrong")
    CostLineFactory(repair=repair)
    assert cost_totals(Repair.objects.all()) == []


def test_sums_follow_the_queryset(db):
    CostLineFactory(amount=Decimal("3.00"))
    mine = CostLineFactory(amount=Decimal("4.00")).repair
    totals = cost_totals(Repair.objects.filter(pk=mine.pk))
    assert totals == [CostTotals("EUR", Decimal("4.00"))]
