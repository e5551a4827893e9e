"""The verdict on a thing done, by the lives of parts before and after it.

The lives before are those of all equals and not of the worst units alone: whoever was
chosen for short lives had bad luck among them.
"""

from dataclasses import dataclass

from scipy import special

from analytics.judging.verdict import Finding
from analytics.life.arrays import checked_confidence
from analytics.life.compare_lives import WeibullComparison, weibull_likelihood_ratio
from analytics.life.data import LifeData
from analytics.life.errors import InvalidSample, LifeError

# Below it in either sample a difference would have to be absurd to show.
LEAST_FAILURES = 5


@dataclass(frozen=True, slots=True)
class LifeJudgement:
    """Lives after against lives before.

    `mean_before` and `mean_after` are mean lives of the two Weibull fits, in the unit
    of the samples; None where no fit was possible or asked for.
    """

    finding: Finding
    reason: str
    failures_before: int
    failures_after: int
    mean_before: float | None = None
    mean_after: float | None = None
    p_value: float | None = None
    comparison: WeibullComparison | None = None


def judge_lives(
    before: LifeData, after: LifeData, confidence: float = 0.90, *, is_due: bool
) -> LifeJudgement:
    """Judge by a Weibull likelihood ratio; one verdict, on the planned date.

    The chance is the larger of the chi-square one, which is too sure of few failures,
    and the one by exchange, which takes both samples to have been watched alike.
    InvalidSample if the samples are in different units.
    """
    level = 1.0 - checked_confidence(confidence)
    failures = before.failures, after.failures
    if not is_due:
        reason = "The planned date has not come."
        return LifeJudgement(Finding.TOO_EARLY, reason, *failures)
    if min(failures) < LEAST_FAILURES:
        reason = (
            f"At least {LEAST_FAILURES} lives that ended with a failure are needed "
            f"on both sides; there are {failures[0]} and {failures[1]}."
        )
        return LifeJudgement(Finding.UNPROVEN, reason, *failures)
    try:
        found = weibull_likelihood_ratio(before, after)
    except InvalidSample:
        raise
    except LifeError as error:
        return LifeJudgement(Finding.UNPROVEN, str(error), *failures)
    means = _mean_life(found, 0), _mean_life(found, 1)
    chance = max(found.p_value, found.p_value_chi_square)
    finding, reason = _finding(chance <= level, longer=means[1] > means[0])
    return LifeJudgement(finding, reason, *failures, *means, chance, found)


def _finding(differs: bool, *, longer: bool) -> tuple[Finding, str]:
    if not differs:
        return Finding.UNPROVEN, "One distribution of lives explains both samples."
    if longer:
        return Finding.WORKS, "Lives are longer than chance explains."
    return Finding.DOES_NOT, "Lives are shorter than before, beyond chance."


def _mean_life(found: WeibullComparison, sample: int) -> float:
    shape, scale = found.shapes[sample], found.scales[sample]
    return float(scale * special.gamma(1.0 + 1.0 / shape))
