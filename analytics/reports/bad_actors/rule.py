"""The rule that flags a bad actor: this module alone decides.

A unit is flagged when it had at least `LEAST_EVENTS` events, rework merged into its
event, at least `LEAST_RATIO` times the events that its peers, it left out, would have
had in its time, and its count is beyond chance: the exact p-value against peers of
one rate survives the procedure of Benjamini and Hochberg over the whole fleet at
`LEVEL`. Where nothing is wrong this alone keeps the chance of any flag below it.

Real peers are not of one rate, so that beyond chance is not yet bad. One of two more
must hold:

1. it stands out from the spread of its peers, found without it: the p-value against
   a gamma of their rates survives the same procedure;
2. it is bad by what all units together tell of the spread: of those flagged, at most
   `SHARE_BY_ODDS` are expected to be below `LEAST_RATIO` times their peers.

The first finds a lone bad unit among others that are alike, where the second is
unsure; several bad ones stretch the spread of the first and so hide each other, but
not from the second. `tests/calibration` measures both claims and the power.
"""

from dataclasses import dataclass

import numpy as np
from scipy import special

from analytics.exposure import Flags, Floats, Ints
from analytics.life.compare import FalseDiscoveries, benjamini_hochberg
from analytics.life.errors import DidNotConverge
from analytics.life.mtbf import mtbf_interval
from analytics.life.peers import leave_one_out_peers
from analytics.life.pooling import gamma_poisson_pool
from analytics.reports.bad_actors.averaged_rates import averaged_rates
from analytics.reports.bad_actors.relative_rates import chance_above

LEVEL = 0.10
SHARE_BY_ODDS = LEVEL / 2
LEAST_RATIO = 2.0  # RULE_IN_WORDS says twice.
LEAST_EVENTS = 3

RULE_IN_WORDS = (
    f"A pump is flagged when it had at least {LEAST_EVENTS} separate events, at least "
    "twice as many as pumps like it in the same time, and so many that chance hardly "
    "explains it, nor the spread that there is among sound pumps. Among many pumps a "
    "few look bad by luck alone, so the chance is held against the whole list: of the "
    f"pumps flagged, about {LEVEL:.0%} at most are expected not to be worse than twice "
    "their peers. A pump with one unlucky repair is never flagged."
).replace("%", "\u00a0%")
BY_CHANCE_IN_WORDS = (
    "By chance is how often a pump that is like its peers has as many events in the "
    "same time, and ranking by evidence follows it. The small figure below it "
    "(adjusted p) is the same held against the whole list; a flag needs "
    f"{LEVEL:.2f} or less, and a count that the spread among the peers does not "
    "explain."
)
METHOD_IN_WORDS = (
    "Chance: exact p-value against the peers, the unit left out, all taken to have one "
    "rate; adjusted over the whole list by the procedure of Benjamini-Hochberg (false "
    "discovery rate). Spread: the unit stands out from a gamma of its peers' rates, or "
    "is worse than twice its peers by a distribution of rates found from all units "
    "together."
)


@dataclass(frozen=True, slots=True, eq=False)
class Evidence:
    """What the peers say about each unit; arrays in the order of the units.

    A unit without peers has a p-value of one and not-a-number for what only peers
    can tell. `p_value` takes the peers to have one rate. `total` are the events of
    all in the group, `odds` the exposure of the unit over that of its peers.
    """

    expected: Floats
    p_value: Floats
    total: Floats
    odds: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Verdict:
    """Which units are flagged, with p-values adjusted for their number.

    `worse` is the probability of a rate above `LEAST_RATIO` times that of the peers.
    A near miss has the counts for a flag, but chance or spread explain them.
    """

    flagged: Flags
    near_miss: Flags
    adjusted: Floats
    worse: Floats


def evidence(events: Ints, exposures: Floats) -> Evidence:
    """Compare the units of one peer group with each other."""
    size = events.size
    expected = odds = np.full(size, np.nan)
    p_value = np.ones(size)
    if size > 1 and events.sum():
        odds = exposures / (exposures.sum() - exposures)
        expected = odds * (events.sum() - events)
        p_value = _conditional(events, exposures)
    return Evidence(expected, p_value, np.full(size, float(events.sum())), odds)


def posterior_rates(
    events: Ints, exposures: Floats, confidence: float
) -> tuple[Floats, Floats, Floats]:
    """Rate of each unit of a group pulled towards its peers, with both limits."""
    try:
        pool = gamma_poisson_pool(events, exposures, confidence)
    except DidNotConverge:
        pool = None
    if pool is None or pool.homogeneous:
        return _rates_without_spread(events, exposures, confidence)
    low, high = pool.posterior_interval.T
    return pool.posterior_mean, low, high


def _rates_without_spread(
    events: Ints, exposures: Floats, confidence: float
) -> tuple[Floats, Floats, Floats]:
    """Averaged over the spreads that like counts leave possible.

    No narrower than the limits of one rate for all, which a few units alone hold to.
    """
    common = mtbf_interval(float(exposures.sum()), int(events.sum()), confidence)
    least, most = 1 / common.interval.high, 1 / common.interval.low
    if not events.any():
        alike = np.ones(events.size)
        return 0.0 * alike, least * alike, most * alike
    rate, low, high = averaged_rates(events, exposures, confidence)
    return rate, np.minimum(low, least), np.maximum(high, most)


def spread_p_values(events: Ints, exposures: Floats) -> Floats:
    """Chance of as many for one more of the peers, whose rates spread as a gamma.

    For the units of one group, each left out of its peers; at least the chance
    against one common rate.
    """
    single = _conditional(events, exposures)
    if events.size == 1:
        return single
    try:
        return np.maximum(leave_one_out_peers(events, exposures).p_value, single)
    except DidNotConverge:
        # Peers too much alike to tell their spread from none.
        return single


def _conditional(events: Ints, exposures: Floats) -> Floats:
    """Chance of as many of all events or more, by the share of the exposure."""
    share = exposures / exposures.sum()
    tail = special.bdtrc(np.maximum(events, 1) - 1, int(events.sum()), share)
    return np.where(events == 0, 1.0, tail)


def beyond_chance(p_value: Floats) -> FalseDiscoveries:
    """Which units of the fleet stand out from peers of one rate."""
    return benjamini_hochberg(p_value, LEVEL)


def verdict(events: Ints, found: Evidence, spread_p_value: Floats) -> Verdict:
    """Apply the rule to all units of the fleet together.

    `spread_p_value` may be one for units that are not beyond chance.
    """
    worse = _worse(events, found)
    stands_out = beyond_chance(found.p_value)
    beyond_spread = benjamini_hochberg(spread_p_value, LEVEL)
    # Not-a-number compares as false: without peers nothing is flagged.
    counts = (events >= LEAST_EVENTS) & (events >= LEAST_RATIO * found.expected)
    candidates = counts & stands_out.rejected
    flagged = candidates & (beyond_spread.rejected | _bad_by_odds(candidates, worse))
    return Verdict(
        flagged=flagged,
        near_miss=counts & ~flagged,
        adjusted=stands_out.adjusted,
        worse=worse,
    )


def _worse(events: Ints, found: Evidence) -> Floats:
    """Probability of a rate above `LEAST_RATIO` times that of the peers."""
    worse = np.full(events.size, np.nan)
    known = np.isfinite(found.odds)
    if known.any():
        worse[known] = chance_above(
            LEAST_RATIO, events[known], found.total[known], found.odds[known]
        )
    return worse


def _bad_by_odds(candidates: Flags, worse: Floats) -> Flags:
    """As many candidates, the surest first, as keep the expected share of false ones.

    The share is the mean chance of those taken not to be worse.
    """
    places = np.flatnonzero(candidates)
    surest_first = places[np.argsort(-worse[places], kind="stable")]
    expected_false = np.cumsum(1.0 - worse[surest_first])
    size = np.arange(1, surest_first.size + 1)
    taken = np.flatnonzero(expected_false <= SHARE_BY_ODDS * size)
    bad = np.zeros(candidates.size, dtype=bool)
    if taken.size:
        bad[surest_first[: taken[-1] + 1]] = True
    return bad
