import numpy as np
import pytest

from analytics.life.failure_simulation import Groups
from analytics.life.forecast import expected_failures, expected_failures_by_group
from analytics.life.weibull import weibull_fit
from analytics.money.budget import Budget, Demand, events_at_a_rate
from analytics.money.errors import InvalidFigure
from analytics.money.quantities import Fixed, Triangular
from tests.analytics.life.samples import SEAL_AGES, complete, drawn

SEALS = weibull_fit(complete(SEAL_AGES))
BEARINGS = weibull_fit(drawn(7, 200, shape=1.2, scale=30_000))
YEAR = 8760.0
RUNS = 4000
AGES = np.concatenate([np.linspace(0, 30_000, 30), np.linspace(0, 20_000, 12)])
AREAS = np.repeat([0, 1], [30, 12])


def demand(part, fit, cost, spread=0.0, **facts):
    forecast = expected_failures_by_group(AGES, fit, YEAR, Groups(AREAS, 2), RUNS)
    return Demand(
        part, forecast.expected, forecast.drawn, unit_cost=cost, spread=spread, **facts
    )


SEAL_PRICE = Fixed(2500)


def fleet(cost=SEAL_PRICE):
    return [demand("S-1", SEALS, cost), demand("6311", BEARINGS, Fixed(150))]


def test_groups_and_parts_add_up_to_the_total():
    found = Budget(fleet())
    total = found.line()
    by_group = [found.line(group=place) for place in (0, 1)]
    by_part = [found.line([place]) for place in (0, 1)]
    for lines in (by_group, by_part):
        assert sum(line.failures for line in lines) == pytest.approx(total.failures)
        assert sum(line.cost for line in lines) == pytest.approx(total.cost)


def test_each_group_has_the_failures_that_its_parts_have_alone():
    found = Budget(fleet()[:1])
    for place in (0, 1):
        alone = expected_failures(AGES[place == AREAS], SEALS, YEAR)
        line = found.line(group=place)
        assert line.failures == pytest.approx(alone.expected)
        assert line.failures_interval.low == pytest.approx(alone.interval.low, abs=1)
        assert line.failures_interval.high == pytest.approx(alone.interval.high, abs=1)
        assert line.to_buy == pytest.approx(alone.stock(0.90), abs=1)


def test_doubt_about_the_life_moves_the_groups_together():
    first, second = fleet()[0].drawn
    assert np.corrcoef(first, second)[0, 1] > 0.05


def test_cost_is_expected_failures_times_unit_cost():
    line = Budget([demand("S", SEALS, Fixed(1000))]).line()
    assert line.cost == pytest.approx(1000 * line.failures)
    assert line.cost_interval.high == 1000 * line.failures_interval.high


def test_parts_to_buy_cover_at_the_service_level():
    demands = fleet()
    needed = demands[0].drawn.sum(axis=0)
    to_buy = Budget(demands, service_level=0.95).line([0]).to_buy
    assert (needed <= to_buy).mean() >= 0.95
    assert (needed <= to_buy - 1).mean() < 0.95
    assert Budget(demands, service_level=0.5).line([0]).to_buy < to_buy


def test_doubt_about_unit_costs_widens_the_cost_only():
    sure = Budget(fleet()[:1]).line()
    unsure = Budget([demand("S-1", SEALS, Triangular(500, 2500, 4500))]).line()
    assert unsure.failures_interval == sure.failures_interval
    assert unsure.cost == sure.cost
    assert unsure.cost_interval.high > sure.cost_interval.high
    assert unsure.cost_interval.low < sure.cost_interval.low


def test_unequal_repairs_vary_as_a_sum_of_single_amounts():
    size, runs, spread = 20, 200_000, 0.8
    given = Demand(
        "", np.array([20.0]), np.full((1, runs), size), True, Fixed(100.0), spread
    )
    # The mean of gamma sums is theirs, their spread falls with the root of the number.
    limits = Budget([given], confidence=0.6826894921).line().cost_interval
    deviation = 100.0 * spread * np.sqrt(size)
    assert 0.5 * (limits.high - limits.low) == pytest.approx(deviation, rel=0.02)
    assert 0.5 * (limits.high + limits.low) == pytest.approx(2000, rel=0.03)


def test_what_is_renewed_with_other_work_is_bought_and_is_no_failure():
    expected, counts = events_at_a_rate([30, 12], 3.0, 1.0, RUNS)
    renewed = Demand("6311", expected, counts, fails=False)
    found = Budget([*fleet(), renewed])
    with_renewed, without = found.line([1, 2]), found.line([1])
    assert with_renewed.failures == without.failures
    assert with_renewed.parts == pytest.approx(without.parts + 14.0)
    assert with_renewed.to_buy > without.to_buy
    assert with_renewed.cost == without.cost


def test_other_failures_take_no_part_from_the_store():
    expected, counts = events_at_a_rate([9, 0], 3.0, 1.0, RUNS)
    line = Budget([Demand("", expected, counts, unit_cost=Fixed(500))]).line()
    assert (line.failures, line.parts, line.to_buy) == (3.0, 0.0, 0)
    assert line.cost == pytest.approx(1500)


def test_a_rate_is_predicted_as_a_count_leaves_it():
    """Negative binomial with 9.5 and 3/4: mean 9.5 / 3, variance that times 4 / 3."""
    expected, counts = events_at_a_rate([9], 3.0, 1.0, 200_000)
    assert expected.tolist() == [3.0]
    assert counts.mean() == pytest.approx(9.5 / 3, rel=0.01)
    assert counts.var() == pytest.approx(9.5 / 3 * 4 / 3, rel=0.02)


def test_many_small_groups_add_up_to_no_more_than_was_seen():
    """Half an event for each of 500 groups would be 83 a year out of nothing."""
    seen = [1, 0, 0, 0, 0] * 100
    groups = [events_at_a_rate(seen, 3.0, 1.0, RUNS, usual=[0.2] * 500)[1]]
    groups += [events_at_a_rate([0, 0], 3.0, 1.0, RUNS, usual=[0.0, 0.0])[1]]
    total = sum(group.sum(axis=0) for group in groups)
    assert total.mean() == pytest.approx(100 / 3, rel=0.1)
    alike, _ = groups
    # A group that showed one is expected to show thrice what one without does.
    assert alike[0].mean() == pytest.approx(0.143, abs=0.02)
    assert alike[1].mean() == pytest.approx(0.048, abs=0.012)
    assert not groups[1].any()


def test_a_group_that_had_events_and_holds_nothing_is_read_by_itself():
    alone = events_at_a_rate([9], 3.0, 1.0, RUNS)[1]
    assert (events_at_a_rate([9], 3.0, 1.0, RUNS, usual=[0.0])[1] == alone).all()


def test_kinds_share_the_doubt_of_their_life_and_not_their_chance():
    def drawn(doubt, chance):
        return expected_failures_by_group(
            AGES,
            SEALS,
            YEAR,
            Groups(AREAS, 2),
            RUNS,
            doubt_seed=doubt,
            chance_seed=chance,
        ).drawn.sum(axis=0)

    one = drawn(1, 1)
    same_life = np.corrcoef(one, drawn(1, 2))[0, 1]
    other_life = np.corrcoef(one, drawn(2, 3))[0, 1]
    assert same_life > 0.1
    assert abs(other_life) < 0.06


def test_no_event_seen_does_not_mean_none_to_come():
    _expected, counts = events_at_a_rate([0], 3.0, 1.0, RUNS)
    assert 0 < counts.mean() < 0.3


def test_same_demands_same_answer():
    assert Budget(fleet()).line().cost_interval == Budget(fleet()).line().cost_interval


@pytest.mark.parametrize(
    ("ask", "sentence"),
    [
        (lambda: Budget([]), "no part in service"),
        (lambda: Budget(fleet(), confidence=0), "confidence must lie between"),
        (lambda: Budget(fleet(), service_level=1), "service level must lie between"),
        (
            lambda: Budget([demand("S", SEALS, Fixed(-5))]),
            "unit cost must be zero or more",
        ),
        (
            lambda: Budget([demand("S", SEALS, Fixed(5), spread=-1)]),
            "spread must be zero or more",
        ),
        (
            lambda: Budget(
                [fleet()[0], Demand("", np.array([1.0]), np.zeros((1, RUNS)))]
            ),
            "same groups and runs",
        ),
        (lambda: events_at_a_rate([1], 0.0, 1.0), "years seen must be above zero"),
        (lambda: events_at_a_rate([1], 1.0, 0.0), "horizon must be above zero"),
        (lambda: events_at_a_rate([-1], 1.0, 1.0), "events must be zero or more"),
    ],
)
def test_refusals_are_sentences(ask, sentence):
    with pytest.raises(InvalidFigure, match=sentence):
        ask()
