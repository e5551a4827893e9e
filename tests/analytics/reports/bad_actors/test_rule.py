"""The rule that flags, alone: plain counts and exposures in, verdicts out."""

import numpy as np
import pandas as pd
import pytest

from analytics.peers import FEWEST_PEERS, liquid_class, peer_groups
from analytics.reports.bad_actors.rule import (
    evidence,
    posterior_rates,
    spread_p_values,
    verdict,
)
from analytics.rework import first_of_event

YEARS = 1.0
FLEET = 60


def judge(events, exposures=None):
    counts = np.array(events)
    times = np.full(counts.size, YEARS) if exposures is None else np.array(exposures)
    found = evidence(counts, times)
    return found, verdict(counts, found, spread_p_values(counts, times))


def test_a_planted_bad_actor_is_flagged_and_alone():
    rng = np.random.default_rng(11)
    events = rng.poisson(0.8, FLEET)
    events[17] = 11
    _, judged = judge(events)
    assert np.flatnonzero(judged.flagged).tolist() == [17]
    assert judged.worse[17] > 0.95


def test_one_unlucky_repair_is_never_flagged():
    events = np.zeros(200, dtype=int)
    events[5] = 1
    _, judged = judge(events)
    assert not judged.flagged.any()


def test_two_events_are_too_few_however_quiet_the_peers_are():
    events = np.zeros(400, dtype=int)
    events[5] = 2
    found, judged = judge(events)
    assert judged.adjusted[5] < 0.5
    assert not judged.flagged.any()


def test_a_fleet_in_which_nothing_is_wrong_gives_hardly_any_flag():
    rng = np.random.default_rng(2)
    fleets = [judge(rng.poisson(0.8, FLEET))[1].flagged.any() for _ in range(60)]
    # The level is 10 %; 60 fleets at 10 % have more than 12 in 1 of 200 draws.
    assert sum(fleets) <= 12


def test_less_than_twice_the_peers_is_not_flagged_however_sure():
    events = np.array([100] * 20 + [170])
    found, judged = judge(events)
    assert found.p_value[-1] < 1e-3
    assert not judged.flagged[-1]


def test_what_the_peers_would_have_had_leaves_the_unit_out():
    found, _ = judge([9, 1, 1, 1], [1.0, 1.0, 1.0, 2.0])
    assert found.expected == pytest.approx([3 / 4, 11 / 4, 11 / 4, 2 * 11 / 3])


def test_the_conditional_p_value_is_the_binomial_tail():
    # Four like units, one with all three events: (1/4)^3, spread of peers none.
    found, _ = judge([3, 0, 0, 0])
    assert found.p_value[0] >= 1 / 64
    assert found.p_value[1:].tolist() == [1.0, 1.0, 1.0]


@pytest.mark.parametrize("events", [[4], [0], [0, 0, 0]])
def test_without_peers_or_events_nothing_is_flagged(events):
    _, judged = judge(events)
    assert not judged.flagged.any()


def test_more_exposure_makes_the_same_count_weaker_evidence():
    events = [6] + [1] * 20
    short, _ = judge(events, [1.0] * 21)
    long, _ = judge(events, [3.0] + [1.0] * 20)
    assert long.p_value[0] > short.p_value[0]


def merged(days, window=90, backs=None):
    days = np.array(days)
    backs = days if backs is None else np.array(backs)
    units = np.zeros(len(days), dtype=int)
    return first_of_event(units, days, backs, np.full(len(days), window)).tolist()


def test_rework_within_the_window_joins_the_event():
    assert merged([100, 190, 191]) == [True, False, True]


def test_the_window_runs_from_the_repair_that_opened_the_event():
    # Every 60 days: 100 opens, 160 is rework of it, 220 opens the next one.
    assert merged([100, 160, 220, 280]) == [True, False, True, False]


def test_the_window_runs_from_the_hand_back():
    assert merged([100, 195], backs=[120, 195]) == [True, False]


@pytest.mark.parametrize("seed", range(20))
def test_many_units_are_merged_as_one_by_one_would_be(seed):
    rng = np.random.default_rng(seed)
    size = int(rng.integers(0, 60))
    units, days = (
        rng.integers(0, 5, size),
        np.sort(rng.integers(700_000, 700_400, size)),
    )
    # Clocks of two zones: a later repair may have the day before.
    days -= rng.integers(0, 2, size)
    backs, windows = days + rng.integers(-1, 40, size), rng.integers(0, 90, size)
    until, opens = {}, []
    for unit, day, back, window in zip(units, days, backs, windows, strict=True):
        opens.append(day > until.get(unit, 0))
        if opens[-1]:
            until[unit] = max(day, back) + window
    assert first_of_event(units, days, backs, windows).tolist() == opens


def test_units_are_merged_each_by_itself():
    units = np.array([1, 2, 1])
    days = np.array([10, 20, 30])
    assert first_of_event(units, days, days, np.full(3, 90)).tolist() == [
        True,
        True,
        False,
    ]


@pytest.mark.parametrize(
    ("hazards", "name"),
    [
        (["corrosive", "toxic"], "corrosive"),
        (["hot", "abrasive"], "fouling or abrasive"),
        (["flammable", "hot"], "hot"),
        (["toxic"], "toxic or flammable"),
        (["cold"], "other"),
        ([], "other"),
    ],
)
def test_the_hardest_hazard_names_the_class_of_liquid(hazards, name):
    assert liquid_class(hazards) == name


def units_of(*groups):
    rows = [group[:3] for group in groups for _ in range(group[3])]
    return pd.DataFrame(rows, columns=["site_name", "liquid_class", "duty"])


def test_a_class_with_enough_peers_is_compared_by_itself():
    units = units_of(("A", "hot", "duty", 9), ("A", "other", "duty", 9))
    names = {group.name for group in peer_groups(units)}
    assert names == {"A, hot, duty", "A, other, duty"}


def test_a_small_class_falls_back_to_the_duty_pumps_of_its_site():
    units = units_of(("A", "hot", "duty", FEWEST_PEERS), ("A", "other", "duty", 20))
    found = {group.name: group for group in peer_groups(units)}
    fallback = found["A, duty"]
    assert fallback.answers.sum() == FEWEST_PEERS
    assert fallback.members.sum() == FEWEST_PEERS + 20


def test_standby_pumps_fall_back_to_their_site_before_other_sites():
    units = units_of(("A", "hot", "standby", 3), ("A", "hot", "duty", 9))
    found = {group.name: group for group in peer_groups(units)}
    assert found["A"].answers.sum() == 3


def test_every_unit_is_answered_once():
    units = units_of(
        ("A", "hot", "duty", 12),
        ("A", "other", "standby", 2),
        ("B", "hot", "duty", 3),
    )
    answered = sum(group.answers.astype(int) for group in peer_groups(units))
    assert answered.tolist() == [1] * 17


def test_peers_much_alike_share_one_rate_with_its_limits():
    # Fleets whose spread is so near to none that the search for it does not settle.
    rng = np.random.default_rng(1)
    for _ in range(300):
        events = rng.poisson(2.4, 40)
        times = np.full(40, 3.0)
        rate, low, high = posterior_rates(events, times, 0.90)
        assert np.isfinite(rate).all()
        assert (low < rate).all()
        assert (rate < high).all()
        assert (spread_p_values(events, times) > 0).all()


def test_without_spread_a_unit_is_not_known_better_than_its_whole_group():
    events = np.array([1, 0, 2, 1, 1, 0, 1, 2, 1, 1])
    times = np.full(10, 1.0)
    rate, low, high = posterior_rates(events, times, 0.90)
    # Exact limits of one rate from 10 events in 10 years: chi-square, 90 %.
    assert (low < 0.5425).all()
    assert (high > 1.6962).all()
    # Nothing says that the unit with two differs, nor that it does not.
    assert rate[1] < rate[0] < rate[2] < 1.4


def test_a_group_without_any_event_has_an_upper_limit_alone():
    rate, low, high = posterior_rates(np.zeros(4, dtype=int), np.ones(4), 0.90)
    assert (rate == 0).all()
    assert (low == 0).all()
    assert (high > 0).all()


def test_beyond_chance_but_not_beyond_the_spread_of_the_peers_is_a_near_miss():
    # Rates spread widely; 14 is much for one rate of 4 and little for these peers.
    rng = np.random.default_rng(7)
    events = rng.poisson(4 * rng.gamma(1.5, 1 / 1.5, 160))
    _, judged = judge(events)
    spread = judged.near_miss & (judged.adjusted <= 0.10)
    assert spread.any()
    assert judged.worse[spread].max() < judged.worse[judged.flagged].min(initial=1.0)


def test_three_equally_bad_units_do_not_hide_each_other():
    rng = np.random.default_rng(8)
    events = rng.poisson(0.8, FLEET)
    events[[3, 4, 5]] = 9
    _, judged = judge(events)
    assert np.flatnonzero(judged.flagged).tolist() == [3, 4, 5]
