from decimal import Decimal

import pytest

from analytics.reports.bad_actors.costs import UnitCost
from analytics.reports.bad_actors.pareto import cost_ranks, fewest_for


def cost(amount, share, currency="EUR"):
    return UnitCost(currency, Decimal(amount), Decimal(0), share, 0.0)


COSTS = {
    1: [cost(200, 0.2)],
    2: [cost(500, 0.5), cost(900, 1.0, "USD")],
    3: [cost(300, 0.3)],
    4: [cost(0, 0.0)],
}


def test_the_costliest_comes_first_and_shares_add_up():
    ranks = cost_ranks(COSTS, "EUR")
    assert [rank.key for rank in ranks] == [2, 3, 1]
    assert [rank.rank for rank in ranks] == [1, 2, 3]
    assert [rank.so_far for rank in ranks] == pytest.approx([0.5, 0.8, 1.0])


def test_currencies_are_never_added():
    assert [rank.repair_cost for rank in cost_ranks(COSTS, "USD")] == [Decimal(900)]


def test_few_units_make_most_of_the_cost():
    assert fewest_for(cost_ranks(COSTS, "EUR"), 0.8) == 2
    assert fewest_for((), 0.8) == 0
