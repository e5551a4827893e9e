"""What the Other distributions view shows: the ranking and the curves."""

from typing import Any

import numpy as np

from analytics.charts.survival_curves import survival_curves
from analytics.charts.theme import figure_json
from analytics.life.distributions import CandidateFit
from analytics.reports.life.answer import ViewAnswer, sample_row
from analytics.reports.life.distributions import LifeDistributions
from analytics.reports.life.tables import columns, numeric
from analytics.reports.life.words import CLOCK_WORDS
from plant.display import NO_VALUE, fixed, interval, number, percent

PARAMETER_WORDS = {
    "shape": "shape",
    "scale": "scale",
    "median": "median",
    "log_spread": "spread of the log",
}
MEANINGS = {
    "Weibull": "One way of failing; its shape tells early failures from wear.",
    "lognormal": "Damage that grows on itself: cracks, corrosion, fatigue.",
    "gamma": "Several small steps of damage one after the other.",
    "exponential": "By chance alone: age does not matter.",
}
MOST_STEPS = 60
WEIGHT = (
    "The weight is the share of the evidence among these four, not the chance to be "
    "right."
)
NO_WEIGHT = (
    "So few failures rank nothing: AICc would only name the one with the fewest "
    "parameters, so it is left out."
)


def distributions_answer(found: LifeDistributions) -> ViewAnswer:
    """Page and file of one ranking."""
    if found.comparison is None:
        return ViewAnswer(
            refusal=found.refusal, charts=_charts(found), method="distributions"
        )
    return ViewAnswer(
        lead=_lead(found),
        tables=[_ranking(found)],
        charts=_charts(found),
        words=(
            "AICc weighs how well a distribution fits against how many parameters it "
            "needs; smaller is better, and a difference below 2 tells nothing.",
            "Figures of the other views stand on the Weibull. Where another fits "
            "clearly better, trust the ages inside the data and nothing beyond them.",
        ),
        method="distributions",
        rows=_export_rows(found),
    )


def _lead(found: LifeDistributions) -> str:
    comparison = found.comparison
    assert comparison is not None
    best, names = comparison.best.name, [c.name for c in comparison.candidates]
    if not comparison.distinguishable:
        return (
            f"{comparison.verdict} Use the Weibull, and do not read an age far beyond "
            "the oldest failure from any of them."
        )
    advice = {
        "Weibull": "The figures of the Life view stand on sound ground.",
        "exponential": "These parts fail by chance: a new part is no better than a "
        "running one, so look for what hits them and not for an age.",
    }.get(best, "Read the Weibull figures of early and late ages with care.")
    runner_up = f" Next comes the {names[1]}." if len(names) > 1 else ""
    return f"{comparison.verdict}{runner_up} {advice}"


def _ranking(found: LifeDistributions) -> dict[str, Any]:
    assert found.comparison is not None
    labels = ("Log-likelihood", "AICc", "Difference", "Weight")
    unit = found.reading.sample.unit
    return {
        "caption": "Distributions, best first"
        if found.is_ranked
        else "Distributions, not ranked",
        "columns": columns("Distribution", "Parameters", *labels, numbers=labels),
        "rows": [
            [
                {"text": candidate.name.capitalize(), "note": MEANINGS[candidate.name]},
                {"text": _parameters(candidate, unit)},
                numeric(fixed(candidate.log_likelihood, 2)),
                *_ranked(candidate, found.is_ranked),
            ]
            for candidate in found.comparison.candidates
        ],
        "note": "Maximum likelihood with suspensions and late entries. "
        + (WEIGHT if found.is_ranked else NO_WEIGHT),
    }


def _ranked(candidate: CandidateFit, is_ranked: bool) -> list[dict[str, Any]]:
    """AICc, difference and weight; dashes where they would say nothing."""
    if not is_ranked:
        return [numeric(NO_VALUE)] * 3
    return [
        numeric(fixed(candidate.aicc, 2)),
        numeric(fixed(candidate.difference, 2)),
        numeric(percent(candidate.weight)),
    ]


def _parameters(candidate: CandidateFit, unit: str) -> str:
    said = []
    for name, value in candidate.parameters.items():
        is_age = name in {"scale", "median"}
        shown = f"{fixed(value, 1)} {unit}" if is_age else number(value, 4)
        said.append(f"{PARAMETER_WORDS[name]} {shown}")
    return ", ".join(said)


def _charts(found: LifeDistributions) -> list[dict[str, Any]]:
    curve = found.survival
    if curve is None:
        return []
    candidates = found.comparison.candidates if found.comparison else ()
    figure = survival_curves(
        (curve.time, curve.reliability, curve.lower, curve.upper),
        found.ages,
        [(one.name, found.share_surviving(one)) for one in candidates],
        unit_words=CLOCK_WORDS[found.reading.sample.rule.clock],
    )
    chart = {
        "id": "distributions",
        "heading": "Fits against what was observed",
        "reading": "The steps are the share that outlasts each age, with their "
        f"{percent(curve.confidence)} limits in shade and no distribution assumed; a "
        "good fit runs within the shade all along.",
        "figure": figure_json(figure),
    }
    return [chart | _steps_table(found)]


def _steps_table(found: LifeDistributions) -> dict[str, Any]:
    curve = found.survival
    assert curve is not None
    limits = f"{percent(curve.confidence)} limits"
    labels = ("At risk", "Failed", "Share surviving", limits)
    size = curve.time.size
    shown = np.unique(np.linspace(0, size - 1, min(size, MOST_STEPS)).astype(int))
    return {
        "columns": columns(
            f"Age, {found.reading.sample.unit}", *labels, numbers=labels
        ),
        "rows": [
            [
                {"text": fixed(float(curve.time[i]), 1)},
                numeric(number(int(curve.at_risk[i]))),
                numeric(number(int(curve.failures[i]))),
                numeric(percent(float(curve.reliability[i]), 1)),
                numeric(
                    interval(
                        float(curve.lower[i]),
                        float(curve.upper[i]),
                        lambda share: percent(share, 1),
                    )
                ),
            ]
            for i in shown
        ],
    }


def _export_rows(found: LifeDistributions) -> list[list[Any]]:
    assert found.comparison is not None
    rows: list[list[Any]] = []
    unit = found.reading.sample.unit
    for one in found.comparison.candidates:
        for name, value in one.parameters.items():
            is_age = name in {"scale", "median"}
            label = PARAMETER_WORDS[name]
            rows.append(
                [one.name, label, value, *[""] * 3, unit if is_age else "", "", ""]
            )
        measures = [("log-likelihood", one.log_likelihood)]
        if found.is_ranked:
            measures += [
                ("AICc", one.aicc),
                ("difference of AICc", one.difference),
                ("weight", one.weight),
            ]
        rows += [[one.name, label, value, *[""] * 6] for label, value in measures]
    rows.append(["all", "verdict", "", *[""] * 5, found.comparison.verdict])
    rows.append(sample_row(found.reading.sample))
    return rows
