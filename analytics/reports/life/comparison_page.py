"""What the Compare view shows: the verdict in words, the groups, the plot."""

import math
from typing import Any

from analytics.charts.theme import figure_json
from analytics.charts.weibull_plot import weibull_plot
from analytics.life.results import Interval
from analytics.reports.life.answer import ViewAnswer, bounds, sample_row
from analytics.reports.life.comparison import (
    SPLIT_NAMES,
    TELLING,
    LifeComparison,
    LifeGroup,
    Split,
    overlaps,
)
from analytics.reports.life.plot import plot_rows, plot_series
from analytics.reports.life.tables import columns, limits_text, numeric
from analytics.reports.life.words import CLOCK_WORDS, mixture_in_words
from analytics.samples import Status
from plant.display import NO_VALUE, count, fixed, number, percent

METHODS = {
    "permutation": "likelihood ratio, judged by exchanging lives between the groups "
    "(some group has fewer than 20 failures)",
    "chi-square": "likelihood ratio, judged by chi-square",
}


def comparison_answer(found: LifeComparison) -> ViewAnswer:
    """Page and file of one comparison."""
    charts = [_chart(found)] if any(_has_points(one) for one in found.groups) else []
    tables = [_groups_table(found)] if found.groups else []
    if found.test is None:
        return ViewAnswer(
            refusal=found.refusal,
            tables=tables,
            charts=charts,
            judges_parts=True,
            method="comparison",
        )
    tables = [*tables, _test_table(found)]
    if found.ratios is not None:
        tables.append(_ratio_table(found))
    return ViewAnswer(
        lead=verdict(found),
        judges_parts=True,
        tables=tables,
        charts=charts,
        words=_words(found),
        method="comparison",
        rows=_export_rows(found),
    )


def verdict(found: LifeComparison) -> str:
    """Whether the lives differ, and which lasts longer, in one sentence."""
    assert found.test is not None
    test, names = found.test, [group.name for group in found.fitted]
    chance = p_text(test.p_value)
    if not found.differs:
        return (
            f"No difference shown between {_listed(names)}: were the lives equal, a "
            f"gap like this or larger would still come up with chance {chance}. That "
            "is no proof that they are equal; few failures can hide a difference."
        )
    chances = (
        f"Were the lives equal, such a gap would come up with chance {chance} only. "
        "The figures do not say what made the difference."
    )
    order = sorted(found.fitted, key=_mean, reverse=True)
    longest, unit = order[0], order[0].sample.unit
    others = ", ".join(
        f"{fixed(_mean(group), 0)} {unit} ({group.name})" for group in order[1:]
    )
    means = f"mean life of {fixed(_mean(longest), 0)} {unit}"
    if not _is_longest(longest, order[1:]):
        return (
            f"The lives differ, but which lasts longest is open: {longest.name} has a "
            f"{means} against {others}, and the intervals of these overlap. They may "
            f"differ in the way they fail, as their shapes show. {chances}"
        )
    most = "longest" if len(order) > 2 else "longer"
    return (
        f"The lives differ: {longest.name} lasts {most}, with a {means} against "
        f"{others}. {chances}"
    )


def _is_longest(first: LifeGroup, others: list[LifeGroup]) -> bool:
    """Whether the mean life of the first is above all others at any of the limits."""
    low, _high = _mean_limits(first)
    return all(low > _mean_limits(other)[1] for other in others)


def _mean_limits(group: LifeGroup) -> tuple[float, float]:
    assert group.fit is not None
    limits = group.fit.mean_estimate().interval
    return (limits.low, limits.high) if limits else (0.0, math.inf)


def p_text(p_value: float) -> str:
    """A chance of a test, never rounded to nothing."""
    return "below 0.001" if p_value < 0.001 else number(p_value, 2)


def _listed(names: list[str]) -> str:
    return f"{', '.join(names[:-1])} and {names[-1]}"


def _mean(group: LifeGroup) -> float:
    assert group.fit is not None
    return group.fit.mean


def _has_points(group: LifeGroup) -> bool:
    return group.estimate.points is not None


def _words(found: LifeComparison) -> tuple[str, ...]:
    assert found.test is not None
    said = []
    if found.split is Split.FITTED:
        said.append(
            "Lives fitted after the change were watched for a shorter time, which the "
            "exchange of lives takes no account of: a difference is called one only if "
            "the chi-square says so too. Anything else that changed with that date "
            "is part of the difference."
        )
    if overlaps(found.groups):
        said.append(
            "Some positions gave several lives. The test takes lives as independent, "
            "so its chance is somewhat too small; the interval of the ratio allows "
            "for it."
        )
    if found.no_ratio:
        said.append(f"No ratio of lives can be given: {found.no_ratio}")
    if found.ratios is not None:
        said += [
            warning.removeprefix("population: ") for warning in found.ratios.warnings
        ]
    mixed = [group.name for group in found.fitted if mixture_in_words(group.sample)]
    if mixed:
        said.append(
            f"Mixtures of parts or plans in themselves: {', '.join(mixed)}. Compare "
            "one part and plan at a time before acting."
        )
    left = [group.name for group in found.groups if group.fit is None]
    if left:
        said.append(f"Too few failures to be tested: {', '.join(left)}.")
    if found.others:
        said.append(
            f"Not compared: {count(len(found.others), 'smaller group')} of this "
            "choice. Looking through many groups until one differs finds differences "
            "that are none."
        )
    return tuple(said)


def _groups_table(found: LifeComparison) -> dict[str, Any]:
    unit = found.reading.sample.unit
    lives = (f"Characteristic life, {unit}", f"Mean life, {unit}")
    labels = ("Failed", "Suspended", "Shape", *lives)
    said = f"{percent(found.reading.question.confidence)} intervals below the values."
    by = SPLIT_NAMES[found.split] if found.split else "Population"
    return {
        "caption": "Groups side by side",
        "columns": columns(by, *labels, numbers=labels),
        "rows": [_group_row(group) for group in found.groups],
        "note": said,
    }


def _group_row(group: LifeGroup) -> list[dict[str, Any]]:
    fit, sample = group.fit, group.sample
    cells = [numeric(NO_VALUE)] * 3
    note = str(group.estimate.error or "")
    if fit is not None:
        mean = fit.mean_estimate()
        cells = [
            numeric(fixed(fit.shape, 2), note=limits_text(fit.shape_interval, 2)),
            numeric(fixed(fit.scale, 0), note=limits_text(fit.scale_interval, 0)),
            numeric(fixed(mean.value, 0), note=limits_text(mean.interval, 0)),
        ]
    return [
        {"text": group.name, "note": note},
        numeric(number(sample.count(Status.FAILED))),
        numeric(number(sample.count(Status.SUSPENDED))),
        *cells,
    ]


def _test_table(found: LifeComparison) -> dict[str, Any]:
    test = found.test
    assert test is not None
    labels = ("Statistic", "Degrees of freedom", "Chance (p)", "Chance by chi-square")
    return {
        "caption": "Test of one common life",
        "columns": columns("Method", *labels, numbers=labels),
        "rows": [
            [
                {"text": METHODS[test.method]},
                numeric(number(test.statistic, 4)),
                numeric(number(test.degrees_of_freedom)),
                numeric(p_text(test.p_value)),
                numeric(p_text(test.p_value_chi_square)),
            ]
        ],
        "note": "Shape and characteristic life of all tested groups against one of "
        f"each for all. A chance below {TELLING} is called a difference.",
    }


def _ratio_table(found: LifeComparison) -> dict[str, Any]:
    ratios = found.ratios
    assert ratios is not None
    labels = ("Ratio of lives", "Interval", "Chance (p)")
    return {
        "caption": "Ratio of characteristic lives at a common shape",
        "columns": columns("Group", "Against", *labels, numbers=labels),
        "rows": [
            [
                {"text": driver.level or NO_VALUE},
                {"text": driver.against or NO_VALUE},
                numeric(fixed(driver.ratio, 2)),
                numeric(_ratio_limits(driver.interval)),
                numeric(p_text(driver.p_value)),
            ]
            for driver in ratios.drivers
        ],
        "note": f"Weibull regression with common shape {fixed(ratios.shape, 2)}; "
        "above 1 the group lasts longer than the one it stands against.",
    }


def _ratio_limits(limits: Interval) -> str:
    return f"{limits_text(limits, 2)}, {percent(limits.confidence)}"


def _chart(found: LifeComparison) -> dict[str, Any]:
    drawn = [group for group in found.groups if _has_points(group)]
    figure = weibull_plot(
        [plot_series(group.name, group.estimate) for group in drawn],
        unit_words=CLOCK_WORDS[found.reading.sample.rule.clock],
    )
    unit = found.reading.sample.unit
    labels = ("Plotted at", "Fitted share failed", "Confidence band")
    head = (f"Age at failure, {unit}", "Group")
    return {
        "id": "comparison",
        "heading": "The groups on one probability plot",
        "reading": "A line further to the right lasts longer; lines that cross differ "
        "in the way they fail. The shade is the confidence band of the first group.",
        "figure": figure_json(figure),
        "columns": columns(*head, *labels, numbers=labels),
        "rows": [
            row for group in drawn for row in plot_rows(group.estimate, group.name)
        ],
    }


def _export_rows(found: LifeComparison) -> list[list[Any]]:
    test, unit = found.test, found.reading.sample.unit
    assert test is not None
    rows: list[list[Any]] = []
    for group in found.fitted:
        fit = group.fit
        assert fit is not None
        mean = fit.mean_estimate()
        for figure, value, limits, of in (
            ("shape", fit.shape, fit.shape_interval, ""),
            ("characteristic life", fit.scale, fit.scale_interval, unit),
            ("mean life", mean.value, mean.interval, unit),
        ):
            method = limits.method
            rows.append([group.name, figure, value, *bounds(limits), of, method, ""])
        failed = group.sample.count(Status.FAILED)
        rows.append([group.name, "failed", failed, *bounds(None), "", "", ""])
    for driver in found.ratios.drivers if found.ratios else ():
        about = f"{driver.level} against {driver.against}"
        between, method = bounds(driver.interval), driver.interval.method
        rows.append([about, "ratio of lives", driver.ratio, *between, "", method, ""])
    none = bounds(None)
    rows.append(["all", "statistic", test.statistic, *none, "", test.method, ""])
    rows.append(["all", "p-value", test.p_value, *none, "", test.method, ""])
    by_chi_square = test.p_value_chi_square
    rows.append(["all", "p-value", by_chi_square, *none, "", "chi-square", ""])
    rows.append(["all", "verdict", "", *none, "", "", verdict(found)])
    rows.append(sample_row(found.reading.sample))
    return rows
