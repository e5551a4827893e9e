from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from analytics.money.discounting import net_present_value
from analytics.money.errors import InvalidFigure
from analytics.money.event_rate import Gamma
from analytics.money.life_cycle_cost import Element
from analytics.money.quantities import Fixed, LogNormal, Triangular
from analytics.money.upgrade import RunningCosts, UpgradeInputs, upgrade_case

CERTAIN = UpgradeInputs(
    positions=4,
    failures_per_year=Fixed(0.5),
    failure_ratio=Fixed(0.25),
    repair_cost=Fixed(4000),
    lost_production=Fixed(1000),
    environment_cost=Fixed(500),
    purchase=Fixed(15_000),
    installation=Fixed(5_000),
    lead_months=Fixed(6),
    energy_change=Fixed(300),
    water_change=Fixed(-1_050),
    horizon_years=8,
    discount_rate=0.08,
    running=RunningCosts(energy=9_000, operation=2_000, disposal=700),
)
UNCERTAIN = replace(
    CERTAIN,
    failures_per_year=Gamma.from_events(20, 40.0),
    failure_ratio=LogNormal(0.25, 0.1, 0.6),
    repair_cost=Triangular(3000, 4000, 6000),
    lead_months=Triangular(4, 6, 10),
)


def test_a_case_by_hand():
    """2 failures a year, 1.5 avoided; 8,250 saved on them and 750 on running."""
    case = upgrade_case(CERTAIN)
    assert case.investment == 20_000
    assert (case.failures_before, case.failures_after) == (2.0, 0.5)
    saving = case.saving
    assert saving.repair == 6000
    assert saving.lost_production == 1500
    assert saving.environment == 750
    assert (saving.energy, saving.water, saving.barrier_fluid) == (-300, 1050, 0)
    assert saving.total == 9000
    assert case.cash_flows.tolist() == [-20_000, 4500, *[9000] * 7]
    # Half a year of lead, then 20,000 / 9,000 years.
    assert case.simple_payback.years == pytest.approx(0.5 + 20 / 9)
    assert case.net_present_value == pytest.approx(
        net_present_value(case.cash_flows, 0.08)
    )
    worth = net_present_value(case.cash_flows, case.internal_rate)
    assert worth == pytest.approx(0, abs=1e-6)
    assert case.discounted_payback.years > case.simple_payback.years
    assert case.tornado == ()


@given(
    ratio=st.floats(0, 2),
    lead=st.floats(0, 30),
    energy=st.floats(-500, 500),
    timing=st.sampled_from(["end_of_year", "mid_year"]),
)
def test_life_cycle_costs_differ_by_the_net_present_value(ratio, lead, energy, timing):
    inputs = replace(
        CERTAIN,
        failure_ratio=Fixed(ratio),
        lead_months=Fixed(lead),
        energy_change=Fixed(energy),
        timing=timing,
    )
    case = upgrade_case(inputs, runs=100)
    gap = case.cost_before.total - case.cost_after.total
    assert gap == pytest.approx(case.net_present_value, abs=1e-6)


def test_costs_stand_in_their_elements():
    case = upgrade_case(CERTAIN)
    before, after = case.cost_before.by_element, case.cost_after.by_element
    assert before[Element.PURCHASE] == before[Element.INSTALLATION] == 0
    assert after[Element.PURCHASE] == 15_000
    assert after[Element.INSTALLATION] == 5_000
    assert after[Element.ENERGY] > before[Element.ENERGY]
    assert after[Element.OPERATION] < before[Element.OPERATION]
    assert after[Element.DOWNTIME] < before[Element.DOWNTIME]
    assert after[Element.DISPOSAL] == before[Element.DISPOSAL] == 700 / 1.08**8


def test_a_certain_case_has_no_range():
    simulation = upgrade_case(CERTAIN).simulation
    interval = simulation.net_present_value_interval
    assert interval.low == pytest.approx(interval.high)
    months = 6 + 12 * 20 / 9
    assert simulation.payback_interval.low == pytest.approx(months)
    rate = upgrade_case(CERTAIN).internal_rate
    assert simulation.internal_rate_interval.high == pytest.approx(rate, abs=1e-8)
    assert simulation.payback_probability(months) == 1
    assert simulation.payback_probability(months - 0.1) == 0


def test_simulation_agrees_with_a_loop_of_its_own():
    """Another generator and plain sums; only the formula is shared."""
    simulation = upgrade_case(UNCERTAIN).simulation
    rng = np.random.default_rng(99)
    runs = 20_000
    rate = rng.gamma(20.5, 1 / 40, runs)
    below = np.log(0.25 / 0.1) / 1.6448536
    above = np.log(0.6 / 0.25) / 1.6448536
    z = rng.standard_normal(runs)
    ratio = 0.25 * np.exp(z * np.where(z < 0, below, above))
    repair = rng.triangular(3000, 4000, 6000, runs)
    lead = rng.triangular(4, 6, 10, runs)
    saving = 4 * rate * (1 - ratio) * (repair + 1500) + 750
    payback = np.where(saving > 0, lead + 12 * 20_000 / saving, np.inf)
    expected = np.quantile(saving, [0.05, 0.95])
    limits = simulation.saving_interval
    rates = simulation.internal_rate_interval
    assert rates.low < upgrade_case(UNCERTAIN).internal_rate < rates.high
    assert (limits.low, limits.high) == pytest.approx(expected, rel=0.03)
    for months in (24, 36, 60):
        assert simulation.payback_probability(months) == pytest.approx(
            (payback <= months).mean(), abs=0.02
        )


def test_payback_is_never_less_likely_with_more_time_nor_more_so_with_interest():
    simulation = upgrade_case(UNCERTAIN).simulation
    chances = [simulation.payback_probability(months) for months in range(6, 97, 6)]
    assert chances == sorted(chances)
    assert 0.2 < chances[5] < 0.95
    for months in (24, 48, 96):
        assert simulation.payback_probability(
            months, discounted=True
        ) <= simulation.payback_probability(months)


def test_discounted_payback_within_the_horizon_is_the_chance_of_a_gain():
    simulation = upgrade_case(UNCERTAIN).simulation
    assert simulation.gain_probability == pytest.approx(
        simulation.payback_probability(96, discounted=True), abs=1e-3
    )


def test_same_case_same_answer():
    first, second = upgrade_case(UNCERTAIN), upgrade_case(UNCERTAIN)
    assert (first.simulation.saving == second.simulation.saving).all()


def test_tornado_moves_one_input_at_a_time_and_sorts_by_swing():
    bars = upgrade_case(UNCERTAIN).tornado
    assert {bar.name for bar in bars} == set(UNCERTAIN.uncertain)
    swings = [bar.swing for bar in bars]
    assert swings == sorted(swings, reverse=True)
    for bar in bars:
        for value, worth in ((bar.low, bar.at_low), (bar.high, bar.at_high)):
            moved = replace(UNCERTAIN, **{bar.name: Fixed(value)})
            alone = upgrade_case(moved, runs=100).net_present_value
            assert worth == pytest.approx(alone)


def test_more_failures_after_the_change_are_a_loss_with_reasons():
    case = upgrade_case(replace(CERTAIN, failure_ratio=Fixed(1.5)))
    assert case.saving.total < 0
    assert case.simple_payback.years is None
    assert "nothing comes back" in case.simple_payback.reason
    assert case.internal_rate is None
    assert "only comes or only goes" in case.internal_rate_reason
    assert case.simulation.payback_interval.high == float("inf")
    assert case.simulation.internal_rate_interval.low == -1
    assert case.simulation.payback_probability(96) == 0


def test_a_change_that_costs_nothing_has_no_ratio_to_its_cost():
    case = upgrade_case(replace(CERTAIN, purchase=Fixed(0), installation=Fixed(0)))
    assert case.savings_to_investment is None
    assert case.simple_payback.years == 0


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"positions": 0}, "positions must be whole, one or more"),
        ({"horizon_years": 0}, "horizon must be whole"),
        ({"discount_rate": -1}, "discount rate must lie above"),
        ({"timing": "monthly"}, "No convention of payment"),
        ({"repair_cost": Fixed(-1)}, "repair cost cannot be below zero"),
        ({"purchase": Triangular(-50, 10, 20)}, "purchase cannot be below zero"),
        ({"lead_months": Fixed(97)}, "after the end of the horizon"),
    ],
)
def test_inputs_out_of_range_are_refused(change, sentence):
    with pytest.raises(InvalidFigure, match=sentence):
        replace(CERTAIN, **change)


def test_settings_out_of_range_are_refused():
    with pytest.raises(InvalidFigure, match="at least 100 runs"):
        upgrade_case(CERTAIN, runs=10)
    with pytest.raises(InvalidFigure, match="confidence must lie between"):
        upgrade_case(CERTAIN, confidence=1.0)
    with pytest.raises(InvalidFigure, match="energy must be zero or more"):
        RunningCosts(energy=-1)
    simulation = upgrade_case(CERTAIN, runs=100).simulation
    with pytest.raises(InvalidFigure, match="The case ends after 96 months"):
        simulation.payback_probability(97)
    with pytest.raises(InvalidFigure, match="number of months must be above zero"):
        simulation.payback_probability(0)
