"""What the Replacement view shows: best age, saving, and how sure both are."""

from typing import Any

import numpy as np

from analytics.charts.cost_rate import cost_rate
from analytics.charts.theme import figure_json
from analytics.life.results import Interval
from analytics.reports.life.answer import (
    ViewAnswer,
    assumed_caution,
    bounds,
    sample_row,
)
from analytics.reports.life.costs import MeanCost
from analytics.reports.life.replacement import LifeReplacement
from analytics.reports.life.tables import columns, numeric
from plant.display import (
    NO_VALUE,
    Number,
    count,
    fixed,
    interval,
    money,
    number,
    percent,
)

MOST_POINTS = 40


def replacement_answer(found: LifeReplacement, costs: list[MeanCost]) -> ViewAnswer:
    """Page and file of one question about replacement."""
    hints = tuple(_hint(cost) for cost in costs)
    if found.refusal or found.range is None:
        prompt = (
            ""
            if found.refusal
            else "Type what both kinds of replacement cost; only "
            "their ratio moves the best age."
        )
        return ViewAnswer(
            lead=prompt, refusal=found.refusal, hints=hints, method="replacement"
        )
    return ViewAnswer(
        lead=replacement_sentence(found),
        cautions=_cautions(found),
        tiles=_tiles(found),
        charts=[_chart(found)],
        hints=hints,
        words=(
            "A planned change at this age counts only if the part is truly as good "
            "as new afterwards, and if the change itself does no harm.",
        ),
        method="replacement",
        rows=_export_rows(found),
    )


def replacement_sentence(found: LifeReplacement) -> str:
    """What to do, in one sentence a fitter understands."""
    assert found.range is not None
    policy, unit = found.range.policy, found.reading.sample.unit
    if not policy.worthwhile:
        return _no_age(found)
    saved = (
        f"replacing at {_age(policy.age)} {unit} costs {percent(policy.saving)} less "
        f"than running to failure ({percent(found.range.saving_interval.confidence)} "
        f"interval {_shares(found.range.saving_interval)})"
    )
    if found.reading.is_assumed:
        return (
            f"Only if the assumed shape of {number(_shape(found))} holds, "
            f"{saved}. These lives do not tell the shape: take it as a reason to look, "
            "not as an age to set."
        )
    if not _is_settled(found):
        return (
            f"Not settled: at the best estimate {saved}, but within the doubt about "
            f"the life it may not pay. Wait for more failures before setting an age."
        )
    late = percent(1 - policy.failures_prevented)
    return f"Worthwhile: {saved}. {late} of the replacements still follow a failure."


def _shape(found: LifeReplacement) -> float:
    """The shape on which the policy stands."""
    basis = found.reading.basis
    assert basis is not None
    return basis.shape


def _spans_one(found: LifeReplacement) -> bool:
    """Whether wear is neither shown nor ruled out."""
    fit = found.reading.estimate.fit
    return fit is not None and fit.shape_interval.low <= 1 < fit.shape_interval.high


def _is_settled(found: LifeReplacement) -> bool:
    """Whether a wearing part is shown, and a saving at either end of its interval."""
    assert found.range is not None
    return found.range.saving_interval.low > 0 and not _spans_one(found)


def _no_age(found: LifeReplacement) -> str:
    """Why no age pays; never surer than the shape is."""
    assert found.range is not None
    policy, fit = found.range.policy, found.reading.estimate.fit
    if fit is not None and fit.shape <= 1 and _spans_one(found):
        return (
            "Not worthwhile at the best estimate: these lives do not show that the "
            "chance of failing rises with age. Run the parts to failure, and look "
            "again when more have failed."
        )
    return f"Not worthwhile: run these parts to failure. {policy.reason}"


def _age(age: Number) -> str:
    """A whole age, or one of few hours to its digits."""
    if age is None:
        return NO_VALUE
    return fixed(age, 0) if float(age) >= 10 else number(age, 2)


def _shares(limits: Interval) -> str:
    return interval(limits.low, limits.high, percent)


def _cautions(found: LifeReplacement) -> tuple[str, ...]:
    said = [assumed_caution(found.reading)]
    if _spans_one(found):
        said.append(
            "The interval of the shape spans 1: these lives do not show that the "
            "parts wear out, and without wear no planned replacement pays."
        )
    if found.range is not None:
        said += found.range.warnings
    return tuple(filter(None, said))


def _age_spread(found: LifeReplacement) -> str:
    """How far the best age may lie off, or why there is none."""
    assert found.range is not None
    ages = found.range.age_interval
    if ages is None:
        return "no age pays within the doubt about the life"
    if found.range.policy.age is None:
        return (
            f"none at the best estimate; {percent(found.range.worthwhile_share)} of "
            "the plausible lives have one"
        )
    confidence = percent(found.reading.question.confidence)
    return f"{confidence} interval {interval(ages.low, ages.high, _age)}"


def _tiles(found: LifeReplacement) -> list[dict[str, str]]:
    assert found.range is not None
    policy, unit = found.range.policy, found.reading.sample.unit
    said = f"{percent(found.reading.question.confidence)} interval"
    savings = found.range.saving_interval
    return [
        {
            "label": "Best age of replacement",
            "value": "None" if policy.age is None else _age(policy.age),
            "unit": "" if policy.age is None else unit,
            "interval": _age_spread(found),
            "note": "Over those plausible lives for which replacing pays.",
        },
        {
            "label": "Saving against running to failure",
            "value": percent(policy.saving),
            "unit": "",
            "interval": f"{said} {_shares(savings)}",
            "note": "Below zero it costs more than running to failure.",
        },
        {
            "label": "Chance that it pays at all",
            "value": percent(found.range.worthwhile_share),
            "unit": "",
            "interval": "",
            "note": "Share of 500 simulated lives that agree with your data.",
        },
        {
            "label": "Cost of running to failure",
            "value": number(found.run_to_failure, 4),
            "unit": f"per {unit}",
            "interval": "",
            "note": f"At the best policy {number(policy.cost_rate, 4)}; in the "
            "currency of the costs typed.",
        },
    ]


def _chart(found: LifeReplacement) -> dict[str, Any]:
    assert found.range is not None
    assert found.by_age is not None
    assert found.by_block is not None
    policy, unit = found.range.policy, found.reading.sample.unit
    ages, by_age, by_block = (
        found.by_age.ages,
        found.by_age.cost_rate,
        found.by_block.cost_rate,
    )
    best = (policy.age, policy.cost_rate) if policy.age is not None else None
    figure = cost_rate(
        ages,
        by_age,
        by_block,
        run_to_failure=found.run_to_failure,
        best=best,
        unit=unit,
    )
    labels = (f"Each at this age, per {unit}", f"All at this interval, per {unit}")
    shown = np.unique(np.linspace(0, ages.size - 1, MOST_POINTS).astype(int))
    return {
        "id": "cost-rate",
        "heading": "Cost against the age of replacement",
        "reading": "The lowest point is the best age; a flat valley means that the "
        "exact age hardly matters. Where a line lies above the dotted one, running "
        "to failure is cheaper.",
        "figure": figure_json(figure),
        "columns": columns(f"Age, {unit}", *labels, numbers=labels),
        "rows": [
            [
                {"text": fixed(float(ages[i]), 0)},
                numeric(number(float(by_age[i]), 4)),
                numeric(number(float(by_block[i]), 4)),
            ]
            for i in shown
        ],
    }


def _hint(cost: MeanCost) -> str:
    kind = {"corrective": "corrective", "planned": "preventive or condition-found"}
    return (
        f"To go by: {count(cost.repairs, 'repair')} of this item with booked cost, "
        f"{kind[cost.kind]}, came to {money(cost.mean, cost.currency, 0)} on average, "
        "lost production not included."
    )


def _export_rows(found: LifeReplacement) -> list[list[Any]]:
    assert found.range is not None
    assert found.costs is not None
    policy, unit = found.range.policy, found.reading.sample.unit
    method = "simulated parameters"
    ages, savings = (
        bounds(found.range.age_interval),
        bounds(found.range.saving_interval),
    )
    age = policy.age if policy.age is not None else "none"
    none = bounds(None)
    rows: list[list[Any]] = [
        ["typed", "planned replacement", found.costs.planned, *none, "", "", ""],
        ["typed", "failure replacement", found.costs.failure, *none, "", "", ""],
        ["policy", "best age", age, *ages, unit, method, policy.reason],
        ["policy", "saving", policy.saving, *savings, "share", method, ""],
        ["policy", "cost rate", policy.cost_rate, *none, f"per {unit}", "", ""],
        ["run to failure", "cost rate", found.run_to_failure, *none]
        + [f"per {unit}", "", ""],
        ["policy", "chance that it pays", found.range.worthwhile_share, *none]
        + ["share", method, ""],
    ]
    rows.append(sample_row(found.reading.sample))
    return rows
