"""Ten worst of a fleet treated, with a known effect, judged on the planned date."""

from collections import Counter

import numpy as np

from analytics.judging.expectation import freeze
from analytics.judging.verdict import finding_of

FLEET = 160
TREATED = 10


def findings(fleets, seed, *, rate, before, after, shape=np.inf, effect=1.0, works=1.0):
    """How often each verdict comes up; `works` multiplies all rates of the works.

    Rates are events a year, `before` and `after` years. The ten with most events are
    treated, as any plant would, and their luck goes away by itself.
    """
    found = Counter()
    for place in range(fleets):
        generator = np.random.default_rng([*np.atleast_1d(seed), place])
        rates = np.full(FLEET, float(rate))
        if np.isfinite(shape):
            rates = rate * generator.gamma(shape, 1.0 / shape, FLEET)
        events = generator.poisson(rates * before)
        treated = np.zeros(FLEET, dtype=bool)
        treated[np.argsort(-events, kind="stable")[:TREATED]] = True
        frozen = freeze(events, np.full(FLEET, float(before)), treated)
        later = rates * after * works
        finding, _reason = finding_of(
            frozen,
            int(generator.poisson(later[treated] * effect).sum()),
            [float(after)] * TREATED,
            int(generator.poisson(later[~treated]).sum()),
            float(after) * (FLEET - TREATED),
        )
        found[finding] += 1
    return {finding: size / fleets for finding, size in found.items()}
