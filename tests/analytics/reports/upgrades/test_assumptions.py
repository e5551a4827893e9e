"""What is typed into an upgrade case is kept as it was, or refused by field."""

from decimal import Decimal

import pytest

from analytics.money.errors import InvalidFigure
from analytics.money.quantities import Fixed, Triangular
from analytics.reports.upgrades.assumptions import (
    Assumptions,
    InvalidAssumptions,
    Population,
    Range,
    RatioFrom,
    WhatFails,
)

FULL = Assumptions(
    purchase=Range(Decimal("20000.50"), Decimal(18000), Decimal(25000)),
    lead_months=Range(Decimal(4)),
    energy_change=Range(Decimal(-200)),
    horizon_years=15,
    discount_rate=Decimal("0.065"),
    timing="mid_year",
    disposal=Decimal(-300),
    repair_cost=Range(Decimal(4000)),
    what_fails=WhatFails.SEALS,
    ratio_from=RatioFrom.LIVES,
    old=Population("seal", "S-1", "11"),
    new=Population("seal", "S-1", "21"),
    typed_ratio=Range(Decimal("0.5"), Decimal("0.3"), Decimal("0.9")),
    payback_months=36,
)


def refused(**stored):
    with pytest.raises(InvalidAssumptions) as refusal:
        Assumptions.from_json(stored)
    return refusal.value.fields


def test_what_is_typed_comes_back_from_json_to_the_cent():
    assert Assumptions.from_json(FULL.to_json()) == FULL


def test_nothing_typed_is_the_defaults_and_strange_names_are_passed_over():
    assert Assumptions.from_json({"last_figures": {"investment": 1}}) == Assumptions()


def test_one_figure_is_certain_and_three_make_a_triangle():
    assert Range(Decimal(5)).quantity == Fixed(Decimal(5))
    three = Range(Decimal(5), Decimal(3), Decimal(9))
    assert three.quantity == Triangular(Decimal(3), Decimal(5), Decimal(9))


def test_a_range_with_one_end_or_out_of_order_is_refused():
    with pytest.raises(InvalidFigure, match="both the least and the most"):
        Range(Decimal(5), Decimal(3))
    with pytest.raises(InvalidFigure, match="between low and high"):
        Range(Decimal(5), Decimal(6), Decimal(9))


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [
        ("purchase", "dear", "not a number"),
        ("purchase", -1, "below zero"),
        ("purchase", "1e13", "more than any pump"),
        ("repair_cost", {"likely": "NaN"}, "not a number"),
        ("horizon_years", "2.5", "whole number"),
        ("horizon_years", 0, "Choose 1 to 40 years"),
        ("discount_rate", "8", "0.08 for 8 %"),
        ("lead_months", 130, "after the end"),
        ("payback_months", 18, "12, 24, 36, 60"),
        ("window_months", 7, "12, 24, 36, 60"),
        ("timing", "monthly", "not one of the choices"),
        ("ratio_from", "hope", "not one of the choices"),
        ("typed_ratio", 0, "0.5 halves them"),
        ("old", {"component": "impeller"}, "seals or bearings"),
        ("running_energy", -5, "below zero"),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field(name, value, words):
    found = refused(**{name: value})
    assert list(found) == [name]
    assert words in found[name]


def test_scrap_may_bring_money_and_running_cost_may_fall():
    kept = Assumptions.from_json({"disposal": "-500", "water_change": "-20"})
    assert kept.disposal == -500
    assert kept.water_change == Range(Decimal(-20))


def test_lives_need_two_kinds_of_part_that_differ():
    assert set(refused(ratio_from="lives")) == {"old", "new"}
    same = {"component": "seal", "part": "S-1"}
    assert refused(ratio_from="lives", old=same, new=same) == {
        "new": "The two kinds of part are the same."
    }


def test_a_typed_source_needs_the_typed_share():
    assert list(refused(ratio_from="typed")) == ["typed_ratio"]


def test_payback_is_not_asked_beyond_the_horizon():
    assert list(refused(horizon_years=2, payback_months=36)) == ["payback_months"]
