"""What the page on the drivers of life says in words."""

from typing import Any

from analytics.ages import Clock
from analytics.life.drivers import LifeDriver
from analytics.reports.drivers.covariates import BY_LABEL
from analytics.reports.drivers.report import DriversReport
from analytics.reports.life.words import nothing_to_fit, rule_in_words
from plant.display import count, interval, number, percent

CAUSE = (
    "These are associations in the records, not proof of a cause: positions that "
    "differ in one thing differ in others that nobody wrote down, and engineers put "
    "upgrades where lives were short. Before money is spent, change a few positions "
    "and check."
)
METHOD = (
    "Method: Weibull regression of life on all covariates together, so each ratio "
    "holds with the others equal. Suspensions count and lives enter at their age when "
    "the records began. Intervals are wider where a position gave several lives. What "
    "stands out holds with the share of false discoveries kept at 10\u00a0%, by "
    "Benjamini and Hochberg."
)


def comparison(driver: LifeDriver) -> str:
    """What is compared, as a fitter says it: plan 21 instead of 11."""
    covariate = BY_LABEL[driver.name]
    if driver.level is None:
        return covariate.risen(_short(driver.step))
    return covariate.compared(driver.level, driver.against or "")


def driver_sentence(driver: LifeDriver) -> str:
    """The ratio of life in one sentence."""
    words = comparison(driver)
    limits = interval(driver.interval.low, driver.interval.high, _times)
    sentence = (
        f"{words[0].upper()}{words[1:]}: life {_times(driver.ratio)} times as long "
        f"({limits})"
    )
    if driver.stands_out:
        return f"{sentence}."
    if 1.0 in driver.interval:
        return f"{sentence}; may be chance."
    return (
        f"{sentence}; by itself that would tell, but among several comparisons it may "
        "be chance."
    )


def _times(ratio: Any) -> str:
    """Two digits: enough to act on."""
    return number(ratio, 2)


def _short(step: float) -> str:
    """A step without a decimal that says nothing."""
    return number(step).removesuffix(".0")


def verdict_words(driver: LifeDriver) -> str:
    """Longer or shorter, or that it may be chance."""
    if not driver.stands_out:
        return "May be chance"
    return "Longer, stands out" if driver.ratio > 1 else "Shorter, stands out"


def finding(report: DriversReport) -> str:
    """What was found, in one sentence."""
    result = report.result
    if result is None:
        return ""
    clear = sum(driver.stands_out for driver in result.drivers)
    of = count(len(result.drivers), "comparison")
    if not clear:
        return (
            f"Nothing stands out among {of}: with these lives no covariate can be told "
            "from chance. That is no proof that none matters."
        )
    return f"{number(clear)} of {of} stand{'s' if clear == 1 else ''} out."


def sample_words(report: DriversReport) -> str:
    """Lives that entered the regression, and their positions."""
    result = report.result
    if result is None:
        return ""
    entered = report.sample.used
    late = int((entered["entry_age"] > 0).sum())
    return (
        f"{number(result.failures)} failed and {number(result.suspensions)} suspended "
        f"lives of {count(result.clusters, 'position')} in the regression; "
        f"{number(late)} of the lives were in before the records began and entered at "
        f"their age. {percent(report.question.confidence)} intervals, two-sided."
    )


def doubts(report: DriversReport) -> list[str]:
    """What a reader must know of this very answer."""
    said = [
        f"{name}: the {number(rare)} rarest levels were pooled into one."
        for name, rare in report.pooled.items()
    ]
    result = report.result
    if result is None:
        return said
    if result.left_out:
        missing = [
            f"{BY_LABEL[name].in_sentence} for {number(lives)}"
            for name, lives in report.unknown.items()
            if lives
        ]
        of_these = f" (not known: {', '.join(missing)})" if missing else ""
        said.append(
            f"{count(result.left_out, 'life,lives')} left out of the regression, for "
            f"a missing value or a refused level{of_these}."
        )
    now = [c.in_sentence for c in report.taken if c.now]
    if now:
        said.append(f"As recorded now, not as of the fitting: {', '.join(now)}.")
    said += _estimated(report)
    if result.clusters < result.failures + result.suspensions:
        said.append(
            "Several lives come from one position: they are not independent, and the "
            "intervals are made wider for it."
        )
    return [*said, *result.warnings]


def _estimated(report: DriversReport) -> list[str]:
    used = report.sample.used
    estimated = int(used["estimated"].sum())
    if not estimated or report.sample.rule.clock is not Clock.HOURS:
        return []
    return [
        f"{number(estimated)} of {number(len(used))} ages are estimated, at least in "
        "part, from calendar time and the running share."
    ]


def refusal(report: DriversReport) -> str:
    """Why there is no answer, and what to do."""
    if not report.refusal:
        return ""
    if not len(report.sample.used):
        return nothing_to_fit(report.sample)
    return (
        f"{report.refusal} Choose fewer covariates, or a wider or narrower choice of "
        "lives; the sample table says what there is."
    )


def counting(report: DriversReport) -> list[str]:
    """How it was done, for the foot of the page."""
    return [METHOD, rule_in_words(report.sample.rule)]
