"""One question for the engineer, and what made the log ask it."""

from dataclasses import dataclass

from scipy import stats

from plant.display import fixed

# A rule asks when chance alone would bring the like less often than this.
SELDOM = 0.01


@dataclass(frozen=True, slots=True)
class Question:
    """`asks` ends with a question mark; `evidence` holds the figures behind it."""

    subject: str
    asks: str
    evidence: str


def at_least(times: int, tries: int, share: float) -> float:
    """Chance of so many or more among the tries at this share."""
    return float(stats.binom.sf(times - 1, tries, share))


def at_least_events(events: int, expected: float) -> float:
    """Chance of so many events or more where so many are expected."""
    return float(stats.poisson.sf(events - 1, expected))


def expected_words(events: float) -> str:
    """What was to be expected, to a tenth."""
    shown = fixed(events) if events >= 0.05 else "less than 0.1"
    return f"{shown} {'was' if events < 0.05 else 'were'} to be expected"
