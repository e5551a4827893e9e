"""Interval sums of lost production: hand-worked cases, and a naive second reckoning."""

from collections import Counter
from decimal import Decimal

import numpy as np
import pytest

from analytics.money.errors import InvalidFigure
from analytics.money.lost_production import loss, outages
from analytics.money.stops import HOUR, Fleet, Stops

MINUTE = HOUR // 60
ALWAYS = (0, 10_000)


def reckoned(positions, stops, unit=HOUR):
    """Outages of positions (group, needed, buffer, from, until) and their stops."""
    rows = np.array([[*p, *ALWAYS][:5] for p in positions], dtype=np.int64).T
    group, needed, buffer, begin, end = rows
    fleet = Fleet(group, needed, begin * unit, end * unit, buffer * unit)
    times = np.array(stops, dtype=np.int64).reshape(-1, 3).T
    return outages(fleet, Stops(times[0], times[1] * unit, times[2] * unit))


def lost(found, unit=HOUR):
    """Time lost by stoppage, missing and wanted; nothing where nothing was lost."""
    sums = Counter()
    for place, stop in enumerate(found.stop):
        part = (int(stop), int(found.short[place]), int(found.wanted[place]))
        sums[part] += int(found.end[place] - found.lost_from[place])
    return {part: time / unit for part, time in sums.items() if time}


ALONE = [(1, 1, 0)]
PAIR = [(1, 1, 0), (1, 1, 0)]
TWO_OF_THREE = [(1, 2, 0)] * 3
CASES = {
    "alone: from stop to hand-back": (ALONE, [(0, 10, 42)], {(0, 1, 1): 32}),
    "alone: the buffer is taken off": ([(1, 1, 4)], [(0, 0, 32)], {(0, 1, 1): 28}),
    "alone: a stop within the buffer": ([(1, 1, 4)], [(0, 0, 3)], {}),
    "alone: two stops, two buffers": (
        *([(1, 1, 4)], [(0, 0, 10), (0, 20, 30)]),
        {(0, 1, 1): 6, (1, 1, 1): 6},
    ),
    "alone: overlapping stops, once, one buffer": (
        *([(1, 1, 4)], [(0, 0, 10), (0, 8, 15), (0, 15, 20)]),
        {(0, 1, 1): 6, (1, 1, 1): 5, (2, 1, 1): 5},
    ),
    "pair: the spare ran": (PAIR, [(0, 0, 50)], {}),
    "pair: one after the other": (PAIR, [(0, 0, 50), (1, 50, 60)], {}),
    "pair: both down, the later bears it": (
        *(PAIR, [(0, 0, 50), (1, 30, 80)], {(1, 1, 1): 20}),
    ),
    "pair: both at one moment, the first by tag": (
        *(PAIR, [(1, 5, 9), (0, 5, 9)], {(1, 1, 1): 4}),
    ),
    "pair: down twice in one stop of the other": (
        *([(1, 1, 0), (1, 1, 2)], [(0, 0, 50), (1, 5, 10), (1, 20, 40)]),
        {(1, 1, 1): 3, (2, 1, 1): 18},
    ),
    "pair of two needed: half is lost": (
        *([(1, 2, 0)] * 2, [(0, 0, 10)], {(0, 1, 2): 10}),
    ),
    "pair of two needed: half, then all, then half": (
        *([(1, 2, 0)] * 2, [(0, 0, 10), (1, 6, 14)]),
        {(0, 1, 2): 6, (1, 2, 2): 4, (1, 1, 2): 4},
    ),
    "two of three: one down is covered": (TWO_OF_THREE, [(2, 0, 99)], {}),
    "two of three: the second down bears half": (
        *(TWO_OF_THREE, [(2, 0, 99), (0, 40, 50)], {(1, 1, 2): 10}),
    ),
    "one buffer, though the bearing position changes": (
        *([(1, 2, 3), (1, 2, 1)], [(0, 0, 10), (1, 8, 20)]),
        {(0, 1, 2): 5, (1, 2, 2): 2, (1, 1, 2): 10},
    ),
    "a spare not yet in service does not cover": (
        *([(1, 1, 0), (1, 1, 0, 30, 10_000)], [(0, 0, 50)], {(0, 1, 1): 30}),
    ),
    "a spare out of service does not count against it": (
        *([(1, 2, 0)] * 2 + [(1, 2, 0, 0, 20)], [(0, 0, 50)], {(0, 1, 2): 30}),
    ),
    "needs more than are in service: all that serve are needed": (
        *([(1, 3, 0)] * 2, [(0, 0, 12)], {(0, 1, 2): 12}),
    ),
    "a stop outlives the service of its position": (
        *([(1, 1, 0, 0, 20)], [(0, 10, 50)], {(0, 1, 1): 10}),
    ),
    "cover is assumed": ([(1, 0, 0)], [(0, 0, 50)], {}),
    "groups do not mix": (
        *([(1, 1, 0), (2, 1, 0)], [(0, 0, 5), (1, 2, 9)]),
        {(0, 1, 1): 5, (1, 1, 1): 7},
    ),
    "no stop": (PAIR, [], {}),
    "a stop of no time": (ALONE, [(0, 5, 5)], {}),
}


@pytest.mark.parametrize("name", CASES)
def test_a_case_worked_by_hand(name):
    positions, stops, expected = CASES[name]
    assert lost(reckoned(positions, stops)) == expected


def naive(positions, stops, minutes):
    """The same, minute by minute, with no thought of speed."""
    sums, outage_age, buffer = Counter(), Counter(), {}
    went_down: dict[int, int] = {}
    groups = {p[0] for p in positions}
    for now in range(minutes):
        serving = {i for i, p in enumerate(positions) if p[3] <= now < p[4]}
        down = {p for p, begin, end in stops if begin <= now < end} & serving
        went_down = {p: went_down.get(p, now) for p in down}
        for group in groups:
            own = {i for i in serving if positions[i][0] == group}
            needed = [p[1] for p in positions if p[0] == group][0]
            wanted = min(needed, len(own))
            short = wanted - len(own - down)
            if short <= 0:
                outage_age[group] = 0
                continue
            bearer = min(own & down, key=lambda p: (-went_down[p], p))
            if outage_age[group] == 0:
                buffer[group] = positions[bearer][2]
            outage_age[group] += 1
            if outage_age[group] > buffer[group]:
                open_here = [
                    (max(begin, positions[p][3]), row)
                    for row, (p, begin, end) in enumerate(stops)
                    if p == bearer and begin <= now < end
                ]
                sums[min(open_here)[1], short, wanted] += 1
    return dict(sums)


def plant_at_random(rng):
    """Some groups of one to four, and stops that often overlap."""
    positions, minutes = [], 600
    for group in range(int(rng.integers(1, 4))):
        size = int(rng.integers(1, 5))
        needed = int(rng.integers(0, size + 2))
        for _ in range(size):
            begin = int(rng.choice([0, 0, 0, rng.integers(minutes)]))
            end = int(rng.choice([minutes, minutes, rng.integers(begin, minutes + 1)]))
            positions.append(
                (group, needed, int(rng.choice([0, 0, 15, 40])), begin, end)
            )
    stops = []
    for _ in range(int(rng.integers(0, 25))):
        begin = int(rng.integers(minutes))
        end = min(minutes, begin + int(rng.choice([0, 10, 60, 200])))
        stops.append((int(rng.integers(len(positions))), begin, end))
    return positions, stops, minutes


@pytest.mark.parametrize("seed", range(150))
def test_interval_sums_agree_with_a_count_minute_by_minute(seed):
    positions, stops, minutes = plant_at_random(np.random.default_rng(seed))
    found = reckoned(positions, stops, MINUTE)
    assert lost(found, MINUTE) == naive(positions, stops, minutes)


def test_the_count_minute_by_minute_sees_losses_often_enough():
    losses = [
        naive(*plant_at_random(np.random.default_rng(seed))) for seed in range(150)
    ]
    assert sum(map(bool, losses)) > 75
    assert sum(any(of > short for _, short, of in each) for each in losses) > 25


def test_stretches_during_a_stoppage_are_those_of_its_time():
    found = reckoned(PAIR, [(0, 0, 50), (1, 30, 80), (0, 70, 75), (1, 90, 95)])
    spans = [(found.start[a:b].tolist(), b - a) for a, b in
             zip(found.first, found.after, strict=True)]  # fmt: skip
    assert spans == [
        ([30 * HOUR], 1),
        ([30 * HOUR, 70 * HOUR], 2),
        ([70 * HOUR], 1),
        ([], 0),
    ]


def test_a_figure_at_any_repair_down_in_an_outage_stands_for_all_of_it():
    found = reckoned(PAIR, [(0, 0, 50), (1, 30, 80), (0, 90, 99), (1, 92, 95)])
    assert found.stop.tolist() == [1, 3]
    at_partner = found.entered(np.array([True, False, False, False]))
    assert at_partner.tolist() == [True, False]
    assert found.entered(np.zeros(4, dtype=bool)).tolist() == [False, False]


def test_stretches_of_one_outage_are_entered_together():
    found = reckoned([(1, 2, 0)] * 2, [(0, 0, 10), (1, 6, 14)])
    assert found.outage.tolist() == [0, 0, 0]
    assert found.entered(np.array([False, True])).tolist() == [True, True, True]


def test_a_span_that_ends_before_it_begins_is_refused():
    with pytest.raises(InvalidFigure, match="ends before it began"):
        reckoned(ALONE, [(0, 9, 3)])
    with pytest.raises(InvalidFigure, match="ends before it began"):
        reckoned([(1, 1, 0, 20, 10)], [])


PRICES = [
    # 31.5 h less 4 h of buffer, at 350 an hour, 60 % of it
    ([(int(27.5 * HOUR), 1, 1)], "350", 0.6, "5775.00"),
    ([(10 * HOUR, 1, 2), (4 * HOUR, 2, 2)], "100", 1.0, "900.00"),
    # A third of an hour: rounded once, not by part
    ([(HOUR, 1, 3), (HOUR, 1, 3)], "0.01", 1.0, "0.01"),
    # Half a cent goes up: 30 min at 0.01
    ([(HOUR // 2, 1, 1)], "0.01", 1.0, "0.01"),
    # 0.1 is a tenth, not its binary neighbour: 0.05 of a cent short of none
    ([(HOUR // 2, 1, 1)], "0.10", 0.1, "0.01"),
    ([(HOUR, 1, 1)], "0", 1.0, "0.00"),
    ([], "350", 1.0, "0.00"),
    # A microsecond of a thousand years still counts exactly
    ([(1000 * 8766 * HOUR + 1, 1, 1)], "3600000000.00", 1.0, "31557600000000001.00"),
]


@pytest.mark.parametrize(("parts", "cost", "share", "expected"), PRICES)
def test_the_price_is_exact_and_rounded_once(parts, cost, share, expected):
    assert loss(parts, Decimal(cost), share) == Decimal(expected)
    assert loss(parts, Decimal(cost), share).as_tuple().exponent == -2


def test_a_cost_below_zero_or_a_share_above_one_is_refused():
    with pytest.raises(InvalidFigure, match="zero or more"):
        loss([], Decimal(-1), 1.0)
    with pytest.raises(InvalidFigure, match="between 0 and 1"):
        loss([], Decimal(1), 1.01)
