import numpy as np
import pytest

from analytics.life.forecast import expected_failures
from analytics.life.weibull import weibull_fit
from analytics.money.budget import Population, budget
from analytics.money.errors import InvalidFigure
from analytics.money.quantities import Fixed, Triangular
from tests.analytics.life.samples import SEAL_AGES, complete, drawn

NOTHING, THOUSAND = Fixed(0), Fixed(1000)
SEALS = weibull_fit(complete(SEAL_AGES))
BEARINGS = weibull_fit(drawn(7, 200, shape=1.2, scale=30_000))
YEAR = 8760.0


def population(group, part, fit, ages, part_cost=THOUSAND, repair=NOTHING):
    return Population(
        group, part, expected_failures(ages, fit, YEAR), part_cost, repair
    )


FLEET = [
    population("Amines", "S-1", SEALS, np.linspace(0, 30_000, 30), Fixed(2500)),
    population("Amines", "6311", BEARINGS, np.linspace(0, 20_000, 40), Fixed(150)),
    population("Chlorination", "S-1", SEALS, np.linspace(0, 20_000, 12), Fixed(2500)),
]


def test_groups_and_parts_add_up_to_the_total():
    answer = budget(FLEET)
    assert [line.name for line in answer.groups] == ["Amines", "Chlorination"]
    assert [line.name for line in answer.parts] == ["S-1", "6311"]
    total = answer.total
    assert total.failures == pytest.approx(sum(one.forecast.expected for one in FLEET))
    for lines in (answer.groups, answer.parts):
        assert sum(line.failures for line in lines) == pytest.approx(total.failures)
        assert sum(line.cost for line in lines) == pytest.approx(total.cost)
        assert sum(line.drawn_cost for line in lines) == pytest.approx(total.drawn_cost)


def test_cost_is_expected_failures_times_unit_cost():
    answer = budget([population("A", "S", SEALS, [5000.0] * 9, Fixed(300), Fixed(700))])
    assert answer.total.cost == pytest.approx(1000 * answer.total.failures)
    assert answer.total.drawn_cost == pytest.approx(1000 * answer.total.drawn_failures)


def test_one_population_keeps_the_range_of_its_forecast():
    forecast = FLEET[0].forecast
    line = budget(FLEET[:1]).total
    assert line.failures_interval.low == pytest.approx(forecast.interval.low, abs=1)
    assert line.failures_interval.high == pytest.approx(forecast.interval.high, abs=1)
    assert line.to_buy == pytest.approx(forecast.stock(0.90), abs=1)


def test_independent_populations_vary_together_as_the_root_of_the_squares():
    answer = budget(FLEET)
    expected = np.sqrt(sum(one.forecast.drawn.var() for one in FLEET))
    assert answer.total.drawn_failures.std() == pytest.approx(expected, rel=0.05)


def test_parts_to_buy_cover_at_the_service_level():
    answer = budget(FLEET, service_level=0.95)
    for line in answer.parts:
        assert (line.drawn_failures <= line.to_buy).mean() >= 0.95
        assert (line.drawn_failures <= line.to_buy - 1).mean() < 0.95
    assert budget(FLEET, service_level=0.5).total.to_buy < answer.total.to_buy


def test_doubt_about_unit_costs_widens_the_cost_only():
    sure = budget([population("A", "S", SEALS, [15_000.0] * 30, Fixed(2000))]).total
    dear = Triangular(500, 2000, 3500)
    unsure = budget([population("A", "S", SEALS, [15_000.0] * 30, dear)]).total
    assert unsure.failures_interval == sure.failures_interval
    assert unsure.cost == sure.cost
    assert unsure.cost_interval.high > sure.cost_interval.high
    assert unsure.cost_interval.low < sure.cost_interval.low


def test_same_populations_same_answer():
    assert budget(FLEET).total.cost_interval == budget(FLEET).total.cost_interval


@pytest.mark.parametrize(
    ("ask", "sentence"),
    [
        (lambda: budget([]), "no part in service"),
        (lambda: budget(FLEET, confidence=0), "confidence must lie between"),
        (lambda: budget(FLEET, service_level=1), "service level must lie between"),
        (
            lambda: budget([population("A", "S", SEALS, [1.0], Fixed(-5))]),
            "unit cost must be zero or more",
        ),
    ],
)
def test_refusals_are_sentences(ask, sentence):
    with pytest.raises(InvalidFigure, match=sentence):
        ask()
