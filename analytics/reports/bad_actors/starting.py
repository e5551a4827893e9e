"""Standby pumps that die on starting."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from scipy import stats

from analytics.exposure import Ints
from analytics.life.compare import benjamini_hochberg
from analytics.reports.bad_actors.rule import LEVEL

LEAST_STARTS = 2
# With fewer failures of other standby units the running ones are taken as well.
FEWEST_FAILURES = 8


@dataclass(frozen=True, slots=True)
class StartCounts:
    """Failures on starting and all failures of known operating state.

    `standby` has them by unit, `rest` for all other units together.
    """

    standby: Mapping[int, tuple[int, int]]
    rest: tuple[int, int] = (0, 0)


@dataclass(frozen=True, slots=True)
class StartFailures:
    """Failures on starting of one standby unit against those of others.

    The others are the other standby units, or all other units where those had too few
    failures (`against_all`). `p_value` is the chance of as many on starting if they
    were dealt out among the failures of all.
    """

    key: int
    on_starting: int
    failures: int
    others_on_starting: int
    others_failures: int
    against_all: bool
    p_value: float
    adjusted: float = 1.0
    dies_on_starting: bool = False

    @property
    def in_words(self) -> str:
        """What was counted: 3 of 4 failures on starting, others 2 of 30."""
        others = "other units" if self.against_all else "other standby units"
        return (
            f"{self.on_starting} of {self.failures} failures on starting; "
            f"{others} {self.others_on_starting} of {self.others_failures}"
        )


def start_failures(counts: StartCounts) -> tuple[StartFailures, ...]:
    """Judge the standby units that failed, the clearest first.

    Adjusted for their number by the procedure of Benjamini and Hochberg.
    """
    keys = [key for key, (_starts, failures) in counts.standby.items() if failures]
    if not keys:
        return ()
    own = np.array([counts.standby[key] for key in keys], dtype=np.int64)
    # Whoever did not fail adds nothing to the others.
    others = own.sum(axis=0) - own
    against_all = others[:, 1] < FEWEST_FAILURES
    others[against_all] += np.array(counts.rest, dtype=np.int64)
    chances = _chances(own, others)
    judged = benjamini_hochberg(chances, LEVEL)
    found = [
        StartFailures(
            key=key,
            on_starting=int(own[place, 0]),
            failures=int(own[place, 1]),
            others_on_starting=int(others[place, 0]),
            others_failures=int(others[place, 1]),
            against_all=bool(against_all[place]),
            p_value=chances[place],
            adjusted=float(judged.adjusted[place]),
            dies_on_starting=bool(
                judged.rejected[place] and own[place, 0] >= LEAST_STARTS
            ),
        )
        for place, key in enumerate(keys)
    ]
    return tuple(sorted(found, key=lambda row: (row.p_value, -row.failures, row.key)))


def _chances(own: Ints, others: Ints) -> list[float]:
    """Chance of at least as many on starting; own and others are starts, failures."""
    everybody = own + others
    chances = stats.hypergeom.sf(
        own[:, 0] - 1, everybody[:, 1], everybody[:, 0], own[:, 1]
    )
    return [float(chance) for chance in np.minimum(chances, 1.0)]
