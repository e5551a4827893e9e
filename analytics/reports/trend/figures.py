"""Figures of a trend answer, each with interval, method and meaning; page and file."""

from dataclasses import dataclass

from analytics.life.recurrence import PowerLawFit
from analytics.life.results import Interval
from analytics.reports.trend.report import TrendReport


@dataclass(frozen=True, slots=True)
class TrendFigure:
    """One figure; a test has a chance instead of an interval."""

    name: str
    value: float
    unit: str
    interval: Interval | None
    p_value: float | None
    method: str
    meaning: str


def trend_figures(report: TrendReport) -> tuple[TrendFigure, ...]:
    """All that was computed of the verdict; nothing where it was refused."""
    return (*_tests(report), *_growth(report))


def time_between(report: TrendReport) -> TrendFigure | None:
    """The present time between events; nothing where the power law does not fit."""
    fit = report.verdict.power_law
    if fit is None or not report.verdict.fits:
        return None
    return _time_between(report, fit)


def shape_now(report: TrendReport) -> TrendFigure | None:
    """The shape; nothing where the power law does not fit."""
    fit = report.verdict.power_law
    if fit is None or not report.verdict.fits:
        return None
    return _shape(fit)


def _tests(report: TrendReport) -> list[TrendFigure]:
    rows = (
        ("Laplace test", report.verdict.laplace, "standard normal"),
        ("MIL-HDBK-189 test", report.verdict.handbook, "chi-square"),
    )
    meaning = "Chance of at least as much drift, either way, at a steady rate."
    return [
        TrendFigure(
            name,
            test.statistic,
            "",
            None,
            test.p_value,
            f"{law}, {test.degrees_of_freedom} degrees of freedom"
            if test.degrees_of_freedom
            else law,
            meaning,
        )
        for name, test, law in rows
        if test is not None
    ]


def _growth(report: TrendReport) -> list[TrendFigure]:
    fit = report.verdict.power_law
    if fit is None:
        return []
    return [
        _shape(fit),
        TrendFigure(
            "Shape, corrected for few events",
            fit.shape_unbiased,
            "",
            None,
            None,
            "maximum likelihood, corrected for its bias",
            "The better single value; the interval above holds.",
        ),
        _time_between(report, fit),
        TrendFigure(
            "Cramér-von Mises distance",
            fit.cramer_von_mises,
            "",
            None,
            fit.fit_p_value,
            "chance by simulation",
            "Small chances speak against the power law, and so against its figures.",
        ),
    ]


def _shape(fit: PowerLawFit) -> TrendFigure:
    return TrendFigure(
        "Shape of the power law",
        fit.shape,
        "",
        fit.shape_interval,
        None,
        f"maximum likelihood; interval {fit.shape_interval.method}",
        "1 is a steady rate; above 1 events come faster, below 1 slower.",
    )


def _time_between(report: TrendReport, fit: PowerLawFit) -> TrendFigure:
    event = report.question.counted.one
    return TrendFigure(
        f"Time between {event}s now",
        fit.mtbf_now,
        report.question.clock.unit,
        fit.mtbf_interval,
        None,
        f"power law; interval {fit.mtbf_interval.method}",
        "What one position shows at the end of the longest record.",
    )
