"""The rule that flags a bad actor: this module alone decides.

A unit is flagged when all of this holds:

1. it had at least `LEAST_EVENTS` events, rework merged into its event;
2. it had at least `LEAST_RATIO` times the events that its peers, it left out,
   would have had in its time in service;
3. its p-value against them survives the procedure of Benjamini and Hochberg over
   the whole fleet, so that at most `LEVEL` of the flags are false in the long run.

The p-value is the larger of two. The exact conditional one takes all peers to
have one rate and knows that this rate is itself counted from few events; the
predictive one allows the rates of the peers to spread. A pump with one unlucky
repair passes neither 1 nor 3.
"""

from dataclasses import dataclass

import numpy as np
from scipy import special

from analytics.exposure import Flags, Floats, Ints
from analytics.life.compare import benjamini_hochberg
from analytics.life.errors import DidNotConverge
from analytics.life.mtbf import mtbf_interval
from analytics.life.peers import leave_one_out_peers
from analytics.life.pooling import (
    GammaPoissonPool,
    gamma_poisson_pool,
    rate_exceeds,
)
from analytics.life.two_groups import two_group_pool

LEVEL = 0.10
LEAST_RATIO = 2.0  # RULE_IN_WORDS says twice.
LEAST_EVENTS = 3
TWO_GROUPS_NEED = 3
EXTRA_PARAMETERS = 2

RULE_IN_WORDS = (
    f"A pump is flagged when it had at least {LEAST_EVENTS} separate events, at least "
    "twice as many as pumps like it in the same time, and so many "
    "that chance hardly explains it. Among many pumps a few look bad by luck alone, "
    "so the chance is held against the whole list: of the pumps flagged, about "
    f"{LEVEL:.0%} at most are expected to be there by luck. A pump with one unlucky "
    "repair is never flagged."
).replace("%", "\u00a0%")
BY_CHANCE_IN_WORDS = (
    "The column By chance decides, and ranking by evidence follows it: how often a "
    "pump that is like its peers has as many events in the same time. The small "
    "figure below it (adjusted p) is the same held against the whole list; a pump is "
    f"flagged where it is {LEVEL:.2f} or less and the counts are high enough."
)
METHOD_IN_WORDS = (
    "Chance: the larger of two p-values against the peers, the unit left out. One is "
    "exact and takes all peers to have one rate; the other (gamma-Poisson) lets "
    "their rates spread. Held against the whole list: p-values adjusted by the "
    "procedure of Benjamini-Hochberg (false discovery rate)."
)


@dataclass(frozen=True, slots=True, eq=False)
class Evidence:
    """What the peers say about each unit; arrays in the order of the units.

    Rates are events per unit of exposure. A unit without peers has a p-value of
    one and not-a-number for what only peers can tell.
    """

    posterior: Floats
    low: Floats
    high: Floats
    expected: Floats
    worse: Floats
    p_value: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Verdict:
    """Which units are flagged, with p-values adjusted for their number.

    A near miss meets all of the rule but the last: chance alone makes such counts.
    """

    flagged: Flags
    near_miss: Flags
    adjusted: Floats


def evidence(
    events: Ints, exposures: Floats, confidence: float, *, with_odds: bool = True
) -> Evidence:
    """Compare the units of one peer group with each other.

    `with_odds` False leaves `worse` out: it is the slow part, and the rule that
    flags does without.
    """
    size = events.size
    unknown = np.full(size, np.nan)
    expected, worse, p_value = unknown, unknown, np.ones(size)
    if size > 1 and events.sum():
        expected = _expected(events, exposures)
        p_value = np.maximum(
            _predictive(events, exposures), _conditional(events, exposures)
        )
    if with_odds and size >= TWO_GROUPS_NEED and events.sum():
        worse = _worse(events, exposures, expected)
    posterior, low, high = _posterior(events, exposures, confidence)
    return Evidence(
        posterior=posterior,
        low=low,
        high=high,
        expected=expected,
        worse=worse,
        p_value=p_value,
    )


def _posterior(
    events: Ints, exposures: Floats, confidence: float
) -> tuple[Floats, Floats, Floats]:
    """Rate of each unit pulled towards its peers, with both limits."""
    try:
        pool = gamma_poisson_pool(events, exposures, confidence)
    except DidNotConverge:
        # Too much alike to tell their spread from none: one rate for all.
        common = mtbf_interval(float(exposures.sum()), int(events.sum()), confidence)
        alike = np.ones(events.size)
        rate = 1 / common.estimate if common.estimate else 0.0
        return (
            rate * alike,
            alike / common.interval.high,
            alike / common.interval.low,
        )
    low, high = pool.posterior_interval.T
    return pool.posterior_mean, low, high


def _expected(events: Ints, exposures: Floats) -> Floats:
    """Events that the peers, the unit left out, would have had in its time."""
    rate = (events.sum() - events) / (exposures.sum() - exposures)
    return np.asarray(rate * exposures)


def _worse(events: Ints, exposures: Floats, expected: Floats) -> Floats:
    """Probability that the rate is above `LEAST_RATIO` times that of the peers.

    Two models answer, each weighted by how well it tells what was counted (Akaike,
    two parameters more for the second): rates that spread as one gamma, and an
    ordinary and a bad group. The first alone stretches until an extreme unit looks
    usual; the second alone takes any spread for a bad group.
    """
    groups = two_group_pool(events, exposures)
    gain = groups.log_likelihood - groups.log_likelihood_single - EXTRA_PARAMETERS
    weight = float(special.expit(gain))
    try:
        pool = gamma_poisson_pool(events, exposures)
    except DidNotConverge:
        weight, single = 1.0, np.zeros(events.size)
    else:
        single = _single_pool_worse(pool, LEAST_RATIO * expected / exposures)
    return weight * groups.prob_exceeds(LEAST_RATIO) + (1.0 - weight) * single


def _single_pool_worse(pool: GammaPoissonPool, threshold: Floats) -> Floats:
    if pool.alpha is None or pool.beta is None:
        return np.asarray(pool.pool_mean > threshold, dtype=float)
    size, rate = pool.alpha + pool.events, pool.beta + pool.exposures
    return rate_exceeds(size, rate, threshold)


def _predictive(events: Ints, exposures: Floats) -> Floats:
    """Chance of as many events or more for one more of the peers, the unit left out."""
    try:
        return leave_one_out_peers(events, exposures).p_value
    except DidNotConverge:
        # Peers too much alike to tell their spread from none: what is left is the
        # exact comparison with one common rate.
        return np.zeros(events.size)


def _conditional(events: Ints, exposures: Floats) -> Floats:
    """Chance of as many of all events or more, by the share of the exposure."""
    share = exposures / exposures.sum()
    tail = special.bdtrc(np.maximum(events, 1) - 1, int(events.sum()), share)
    return np.where(events == 0, 1.0, tail)


def verdict(events: Ints, expected: Floats, p_value: Floats) -> Verdict:
    """Apply the rule to all units of the fleet together."""
    discoveries = benjamini_hochberg(p_value, LEVEL)
    enough = events >= LEAST_EVENTS
    # Not-a-number compares as false: without peers nothing is flagged.
    twice = events >= LEAST_RATIO * expected
    stands_out = enough & twice
    return Verdict(
        flagged=stands_out & discoveries.rejected,
        near_miss=stands_out & ~discoveries.rejected,
        adjusted=discoveries.adjusted,
    )
