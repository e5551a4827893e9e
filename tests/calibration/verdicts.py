"""Units of a fleet treated, with a known effect, judged on the planned date."""

from collections import Counter
from dataclasses import dataclass

import numpy as np

from analytics.judging.expectation import FrozenExpectation, freeze
from analytics.judging.verdict import finding_of
from tests.calibration.flags import FLEET, Fleet, flags_of
from tests.calibration.shares import covered_shares


@dataclass(frozen=True)
class Design:
    """What is true of a fleet and what is done to it.

    `rate` is events a year of most units, `before` and `after` years, `spread` of the
    rates (standard deviation over mean, a gamma). `bad` units are worse, by factors
    drawn between the two of `times_worse`, evenly on a log scale. `treated` is "worst"
    (the `worst` with most events, as any plant would), "flagged" by the rule for bad
    actors, or "planted". Then their rates are multiplied by `effect`, and all of the
    works by `works`.
    """

    rate: float = 0.6
    before: float = 3.0
    after: float = 1.0
    spread: float = 0.0
    bad: int = 0
    times_worse: tuple[float, float] = (3.0, 10.0)
    treated: str = "worst"
    worst: int = 10
    effect: float = 1.0
    works: float = 1.0


@dataclass(frozen=True, eq=False)
class Action:
    """One fleet with units treated; `rates` are the true ones, a year, before it."""

    design: Design
    generator: np.random.Generator
    rates: np.ndarray
    frozen: FrozenExpectation
    treated: np.ndarray

    @property
    def years_after(self):
        return [float(self.design.after)] * int(self.treated.sum())

    @property
    def unchanged(self):
        """Events to come of the treated if nothing were done, by their true rates."""
        return float(self.rates[self.treated].sum() * self.design.after)

    def finding(self):
        """The verdict on the planned date."""
        design, others = self.design, ~self.treated
        later = design.after * design.works
        finding, _reason = finding_of(
            self.frozen,
            int(self.generator.poisson(self.unchanged * design.works * design.effect)),
            self.years_after,
            int(self.generator.poisson(self.rates[others].sum() * later)),
            float(design.after) * int(others.sum()),
        )
        return finding

    def limits(self):
        """What 90 % of the counts to come should lie within if nothing changes."""
        sums = np.cumsum(self.frozen.count_chances(self.years_after))
        return np.searchsorted(sums, [0.05, 0.95])


@dataclass(frozen=True)
class Tally:
    """What came of many fleets; those in which nothing was treated are not counted.

    `expected_share` is what was expected over what was to come by the true rates.
    `covered` are shares of counts inside, below and above the limits.
    """

    acted: int
    findings: dict
    expected_share: float
    covered: tuple[float, float, float]


def drawn(design, generator):
    """One fleet, the planted units anywhere in it; None if nothing is to be treated."""
    rates = np.full(FLEET, float(design.rate))
    if design.spread:
        shape = design.spread**-2.0
        rates = rates * generator.gamma(shape, 1.0 / shape, FLEET)
    planted = np.zeros(FLEET, dtype=bool)
    if design.bad:
        planted[generator.choice(FLEET, design.bad, replace=False)] = True
        factors = generator.uniform(*np.log(design.times_worse), design.bad)
        rates[planted] = design.rate * np.exp(factors)
    events = generator.poisson(rates * design.before)
    treated = _chosen(design, generator, rates, events, planted)
    if not treated.any():
        return None
    frozen = freeze(events, np.full(FLEET, float(design.before)), treated)
    return Action(design, generator, rates, frozen, treated)


def _chosen(design, generator, rates, events, planted):
    if design.treated == "planted":
        return planted
    if design.treated == "flagged":
        years = np.full(FLEET, float(design.before))
        like = np.zeros(FLEET, dtype=int)
        return flags_of(Fleet(events, years, rates, like, planted))
    treated = np.zeros(FLEET, dtype=bool)
    # Ties are broken by chance.
    order = np.lexsort([generator.uniform(size=FLEET), -events])
    treated[order[: design.worst]] = True
    return treated


def tally(fleets, seed, design):
    """Judge seeded fleets."""
    found, expected, unchanged, counts, limits = Counter(), 0.0, 0.0, [], []
    for place in range(fleets):
        generator = np.random.default_rng([*np.atleast_1d(seed), place])
        action = drawn(design, generator)
        if action is None:
            continue
        found[action.finding()] += 1
        expected += action.frozen.expected(action.years_after)
        unchanged += action.unchanged
        counts.append(generator.poisson(action.unchanged))
        limits.append(action.limits())
    low, high = np.transpose(limits)
    acted = found.total()
    shares = {finding: size / acted for finding, size in found.items()}
    covered = covered_shares(low, high, np.array(counts))
    return Tally(acted, shares, expected / unchanged, covered)
