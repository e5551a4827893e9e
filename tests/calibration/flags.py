"""Fleets with a known truth, judged by the rule that flags bad actors.

Rates are events a year and exposures years. Every unit goes through the same
steps as on the page: rework merged, peers by rule, evidence, verdict.
"""

from dataclasses import dataclass, fields

import numpy as np
import pandas as pd

from analytics.reports.bad_actors.judgement import judged
from analytics.reports.bad_actors.rule import (
    LEAST_RATIO,
    Evidence,
    beyond_chance,
    evidence,
    spread_p_values,
    verdict,
)
from analytics.rework import first_of_event

FLEET = 160
REWORK_SHARE = 0.2
REWORK_DAYS = 20.0
REWORK_WINDOW = 30
YEAR = 365
CONFIDENCE = 0.90


@dataclass(frozen=True, eq=False)
class Fleet:
    """Units with their true rates; the classes of like service are known."""

    events: np.ndarray
    years: np.ndarray
    rates: np.ndarray
    classes: np.ndarray
    planted: np.ndarray

    def units(self):
        return pd.DataFrame(
            {
                "site_name": "Works",
                "liquid_class": self.classes.astype(str),
                "duty": "duty",
                "events": self.events,
                "days": self.years * YEAR,
            }
        )


@dataclass(frozen=True)
class Tally:
    """What the rule did over many fleets.

    False is a flag on a unit whose true rate is below `LEAST_RATIO` times the
    mean of its peers. `found` and `planted` count planted units only.
    """

    fleets: int
    with_flag: int
    flags: int
    false: int
    false_share_sum: float
    found: int
    planted: int

    @property
    def any_flag(self):
        return self.with_flag / self.fleets

    @property
    def false_share(self):
        """Mean over the fleets of the share of false flags, none being no error."""
        return self.false_share_sum / self.fleets

    @property
    def false_among_all(self):
        """False flags of all fleets over flags of all fleets."""
        return self.false / self.flags if self.flags else 0.0

    @property
    def power(self):
        return self.found / self.planted if self.planted else 0.0


def nothing_wrong(generator, rate, years, *, classes=1, uneven=False):
    """One rate for all units of a class; the classes differ up to three to one."""
    class_of, rates = _by_class(rate, classes)
    times = np.full(FLEET, float(years))
    if uneven:
        times = times * generator.uniform(0.1, 1.0, FLEET)
    return _counted(generator, rates, times, class_of)


def mixed(generator, rate, years, *, shape=2.0, classes=1, rework=REWORK_SHARE):
    """Rates spread as a gamma, and a share of all repairs done again soon after."""
    class_of, rates = _by_class(rate, classes)
    rates = rates * generator.gamma(shape, 1.0 / shape, FLEET)
    times = np.full(FLEET, float(years))
    return _counted(generator, rates, times, class_of, rework=rework)


def planted(generator, rate, years, *, times_worse, bad, shape=np.inf):
    """Some units worse than all others, which are alike or spread as a gamma."""
    class_of, rates = _by_class(rate, 1)
    if np.isfinite(shape):
        rates = rates * generator.gamma(shape, 1.0 / shape, FLEET)
    rates[:bad] = rate * times_worse
    exposures = np.full(FLEET, float(years))
    return _counted(generator, rates, exposures, class_of, is_planted=bad)


def _by_class(rate, classes):
    """Class and mean rate of each unit."""
    class_of = np.arange(FLEET) % classes
    apart = 3.0**0.5
    factors = np.geomspace(1 / apart, apart, classes) if classes > 1 else np.ones(1)
    return class_of, rate * factors[class_of]


def _counted(generator, rates, years, classes, *, rework=0.0, is_planted=0):
    events = generator.poisson(rates * years)
    if rework:
        events = _merged(generator, events, years, rework)
    planted_units = np.arange(FLEET) < is_planted
    return Fleet(events, years, rates, classes, planted_units)


def _merged(generator, fresh, years, rework):
    """Separate events after bursts of rework went through the merging window."""
    unit = np.repeat(np.arange(FLEET), fresh)
    day = generator.uniform(0, years[unit] * YEAR)
    units, days = [unit], [day]
    while unit.size:
        again = generator.uniform(size=unit.size) < rework
        unit = unit[again]
        day = day[again] + 1.0 + generator.exponential(REWORK_DAYS, unit.size)
        units.append(unit)
        days.append(day)
    unit, day = np.concatenate(units), np.concatenate(days)
    inside = day < years[unit] * YEAR
    unit, day = unit[inside], day[inside].astype(np.int64)
    order = np.argsort(day, kind="stable")
    unit, day = unit[order], day[order]
    opens = first_of_event(unit, day, day, np.full(unit.size, REWORK_WINDOW))
    return np.bincount(unit[opens], minlength=FLEET)


def flags_of(fleet):
    """Which units the rule flags, by the steps of the page without its tables."""
    found = _evidence(fleet)
    stands_out = beyond_chance(found.p_value).rejected
    if not stands_out.any():
        return stands_out
    spread = np.ones(FLEET)
    by_odds = verdict(fleet.events, found, spread)
    # The spread, which takes longest, can add only what stands out and is not flagged.
    if not (stands_out & by_odds.near_miss).any():
        return by_odds.flagged
    for members in _groups(fleet):
        if (members & stands_out).any():
            spread[members] = spread_p_values(
                fleet.events[members], fleet.years[members]
            )
    return verdict(fleet.events, found, spread).flagged


def flags_on_page(fleet):
    """The same by the page's own steps, which take longer."""
    found = judged(fleet.units(), CONFIDENCE, with_rates=False)
    return found["is_flagged"].to_numpy()


def _evidence(fleet):
    columns = np.full((len(fields(Evidence)), FLEET), np.nan)
    for members in _groups(fleet):
        own = evidence(fleet.events[members], fleet.years[members])
        columns[:, members] = [getattr(own, column.name) for column in fields(Evidence)]
    return Evidence(*columns)


def _groups(fleet):
    return [fleet.classes == name for name in np.unique(fleet.classes)]


def truly_bad(fleet):
    """Units whose true rate is at least the least ratio times that of their peers."""
    sums = np.bincount(fleet.classes, fleet.rates)[fleet.classes]
    sizes = np.bincount(fleet.classes)[fleet.classes]
    peers = (sums - fleet.rates) / (sizes - 1)
    return fleet.rates >= LEAST_RATIO * peers


def tally(draw, fleets, seed):
    """Judge seeded fleets; `draw` makes one from a generator."""
    with_flag = flags = false = found = planted_units = 0
    false_shares = 0.0
    for place in range(fleets):
        fleet = draw(np.random.default_rng([*np.atleast_1d(seed), place]))
        flagged = flags_of(fleet)
        wrong = int((flagged & ~truly_bad(fleet)).sum())
        size = int(flagged.sum())
        with_flag += size > 0
        flags += size
        false += wrong
        false_shares += wrong / max(size, 1)
        found += int((flagged & fleet.planted).sum())
        planted_units += int(fleet.planted.sum())
    return Tally(fleets, with_flag, flags, false, false_shares, found, planted_units)
