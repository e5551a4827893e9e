import pytest
from hypothesis import given
from hypothesis import strategies as st

from analytics.money.errors import InvalidFigure
from analytics.money.life_cycle_cost import (
    ELEMENTS,
    Element,
    ElementCost,
    life_cycle_cost,
)

COSTS = st.builds(
    ElementCost,
    element=st.sampled_from(ELEMENTS),
    today=st.floats(0, 1e5),
    yearly=st.floats(0, 1e5),
    at_end=st.floats(-1e4, 1e4),
    price_growth=st.floats(-0.05, 0.1),
)


def naive_total(costs, years, rate, earlier):
    total = 0.0
    for cost in costs:
        total += cost.today
        for year in range(1, years + 1):
            amount = cost.yearly * (1 + cost.price_growth) ** year
            total += amount / (1 + rate) ** (year - earlier)
        at_end = cost.at_end * (1 + cost.price_growth) ** years
        total += at_end / (1 + rate) ** years
    return total


@given(
    costs=st.lists(COSTS, max_size=10),
    years=st.integers(1, 30),
    rate=st.floats(0, 0.2),
    timing=st.sampled_from([("end_of_year", 0.0), ("mid_year", 0.5)]),
)
def test_total_agrees_with_a_loop(costs, years, rate, timing):
    name, earlier = timing
    cost = life_cycle_cost(costs, years, rate, name)
    expected = naive_total(costs, years, rate, earlier)
    assert cost.total == pytest.approx(expected, rel=1e-9, abs=1e-4)
    assert sum(cost.by_element.values()) == pytest.approx(cost.total, abs=1e-4)
    assert cost.by_year.sum() == pytest.approx(cost.total_spent, abs=1e-4)


def test_table_holds_year_by_element():
    costs = [
        ElementCost(Element.PURCHASE, today=10_000),
        ElementCost(Element.ENERGY, yearly=1_000, price_growth=0.10),
        ElementCost(Element.MAINTENANCE, yearly=[0, 500, 0]),
        ElementCost(Element.DISPOSAL, at_end=-200),
    ]
    cost = life_cycle_cost(costs, 3, 0.0)
    assert cost.amounts.shape == (4, len(ELEMENTS))
    energy = cost.amounts[:, ELEMENTS.index(Element.ENERGY)]
    assert energy == pytest.approx([0, 1100, 1210, 1331])
    assert cost.by_year == pytest.approx([10_000, 1100, 1710, 1131])
    assert cost.by_element[Element.DISPOSAL] == -200
    assert cost.shares[Element.PURCHASE] == pytest.approx(10_000 / 13_941)


def test_yearly_equivalent_of_a_level_cost_is_that_cost():
    for timing in ("end_of_year", "mid_year"):
        cost = life_cycle_cost(
            [ElementCost(Element.OPERATION, yearly=750)], 12, 0.07, timing
        )
        assert cost.yearly_equivalent == pytest.approx(750)


def test_prices_that_rise_with_the_discount_rate_cancel_it():
    cost = life_cycle_cost(
        [ElementCost(Element.ENERGY, yearly=100, price_growth=0.06)], 20, 0.06
    )
    assert cost.total == pytest.approx(2000)


def test_nothing_spent_has_no_shares():
    cost = life_cycle_cost([], 5, 0.08)
    assert set(cost.shares.values()) == {0.0}
    assert list(cost.by_element) == list(ELEMENTS)


@pytest.mark.parametrize(
    ("cost", "sentence"),
    [
        (ElementCost(Element.ENERGY, yearly=[1, 2]), "given for 2 of 3 years"),
        (ElementCost(Element.ENERGY, yearly=None), "yearly energy cost is not a"),
        (ElementCost(Element.PURCHASE, today=float("nan")), "purchase cost of today"),
        (ElementCost(Element.DISPOSAL, at_end="much"), "disposal cost at end"),
        (ElementCost(Element.ENERGY, price_growth=-1), "growth of prices"),
    ],
)
def test_refusals_are_sentences(cost, sentence):
    with pytest.raises(InvalidFigure, match=sentence):
        life_cycle_cost([cost], 3, 0.08)


def test_years_out_of_range_are_refused():
    with pytest.raises(InvalidFigure, match="number of years must be whole"):
        life_cycle_cost([], 0, 0.08)
