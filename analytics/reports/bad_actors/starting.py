"""Standby pumps that die on starting."""

from collections.abc import Mapping
from dataclasses import dataclass

from scipy import stats

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
    compared = [
        _compared(key, counts)
        for key, (_starts, failures) in counts.standby.items()
        if failures
    ]
    if not compared:
        return ()
    judged = benjamini_hochberg([row.p_value for row in compared], LEVEL)
    found = [
        StartFailures(
            key=row.key,
            on_starting=row.on_starting,
            failures=row.failures,
            others_on_starting=row.others_on_starting,
            others_failures=row.others_failures,
            against_all=row.against_all,
            p_value=row.p_value,
            adjusted=float(judged.adjusted[place]),
            dies_on_starting=bool(
                judged.rejected[place] and row.on_starting >= LEAST_STARTS
            ),
        )
        for place, row in enumerate(compared)
    ]
    return tuple(sorted(found, key=lambda row: (row.p_value, -row.failures, row.key)))


def _compared(key: int, counts: StartCounts) -> StartFailures:
    starts, failures = counts.standby[key]
    others = [pair for other, pair in counts.standby.items() if other != key]
    against_all = sum(pair[1] for pair in others) < FEWEST_FAILURES
    if against_all:
        others.append(counts.rest)
    other_starts = sum(pair[0] for pair in others)
    other_failures = sum(pair[1] for pair in others)
    chance = stats.hypergeom.sf(
        starts - 1, failures + other_failures, starts + other_starts, failures
    )
    return StartFailures(
        key=key,
        on_starting=starts,
        failures=failures,
        others_on_starting=other_starts,
        others_failures=other_failures,
        against_all=against_all,
        p_value=min(1.0, float(chance)),
    )
