"""The tables of the Life page: cells of ready text for the data_table component."""

from typing import Any

import pandas as pd
from django.http import QueryDict
from django.urls import reverse

from analytics.life.results import Interval
from analytics.life.weibull import WeibullFit
from analytics.reports.life.report import Figure, LifeReport
from analytics.reports.life.words import method_in_words
from analytics.samples import LeftOut, Sample, Status
from analytics.tables import address_with
from plant.choices import Location
from plant.display import (
    NO_BREAK_SPACE,
    NO_VALUE,
    Number,
    date,
    fixed,
    interval,
    number,
)
from plant.display import percent as percent_text

Table = dict[str, Any]
MOST_ROWS = 50
STATUS_WORDS = {
    Status.FAILED: "Failed",
    Status.SUSPENDED: "Suspended",
    Status.LEFT_OUT: "Left out",
}


def numeric(text: str, note: str = "") -> dict[str, Any]:
    """A cell that lines up with numbers."""
    return {"text": text, "numeric": True, "note": note}


def columns(*labels: str, numbers: tuple[str, ...] = ()) -> list[dict[str, Any]]:
    """Column heads; those of `numbers` line up with numbers."""
    return [{"label": label, "numeric": label in numbers} for label in labels]


def places(unit: str) -> int:
    """Decimals of a value: ages to a tenth, a shape to four places."""
    return 1 if unit else 4


def value_text(figure: Figure) -> str:
    """A value with its unit."""
    text = shown(figure.value, places(figure.unit))
    return f"{text}{NO_BREAK_SPACE}{figure.unit}" if figure.unit else text


def limits_text(limits: Interval | None, decimals: int) -> str:
    """An interval as text."""
    if limits is None:
        return NO_VALUE
    return interval(limits.low, limits.high, lambda limit: shown(limit, decimals))


def shown(value: Number, decimals: int) -> str:
    """To these decimals; what they would round to nothing, to its own digits."""
    size = 0.0 if value is None else abs(float(value))
    rounds_to_nothing = 0 < size < 0.5 * 10**-decimals
    return number(value) if rounds_to_nothing else fixed(value, decimals)


def sample_table(sample: Sample) -> Table:
    """Failed, suspended and left out, by ending or reason, adding up to all."""
    rows = [
        [{"text": STATUS_WORDS[status]}, {"text": words}, numeric(number(lives))]
        for status, words, lives in sample.breakdown()
    ]
    return {
        "columns": columns(
            "Counted as", "Ending or reason", "Lives", numbers=("Lives",)
        ),
        "rows": rows,
        "totals": [
            {"text": "All lives"},
            {"text": ""},
            numeric(number(len(sample.rows))),
        ],
    }


def result_table(report: LifeReport) -> Table:
    """Every estimate with its interval, how it was got and what it means."""
    fit = report.estimate.fit
    assert fit is not None
    rows = [
        [
            {"text": figure.name},
            numeric(value_text(figure)),
            numeric(limits_text(figure.interval, places(figure.unit))),
            {
                "text": method_in_words(figure.interval.method)
                if figure.interval
                else "from shape and scale, without an interval"
            },
            {"text": figure.meaning},
        ]
        for figure in report.figures
    ]
    rows.append(
        [
            {"text": "Log-likelihood"},
            numeric(fixed(fit.log_likelihood, 4)),
            numeric(NO_VALUE),
            {"text": "maximum likelihood, as all values above"},
            {"text": "For comparing fits to the same lives; no meaning by itself."},
        ]
    )
    limits = f"{percent_text(fit.confidence)} interval"
    return {
        "columns": columns(
            *("Figure", "Value", limits, "Method of the interval", "Meaning"),
            numbers=("Value", limits),
        ),
        "rows": rows,
    }


def outlasting_table(report: LifeReport) -> Table:
    """Share of such parts that outlast an age, with its interval."""
    said = f"{percent_text(report.question.confidence)} interval"
    labels = ("Share", said)
    return {
        "columns": columns("Of such parts", *labels, "Meaning", numbers=labels),
        "rows": [
            [
                {"text": figure.name},
                numeric(percent_text(figure.value, 1)),
                numeric(shares_text(figure.interval)),
                {"text": figure.meaning},
            ]
            for figure in report.outlasting
        ],
    }


def shares_text(limits: Interval | None) -> str:
    """An interval of a share as text."""
    if limits is None:
        return NO_VALUE
    return interval(limits.low, limits.high, lambda share: percent_text(share, 1))


def assumed_table(report: LifeReport) -> Table:
    """What the sample gives when the shape is assumed, at several shapes."""
    question, unit = report.question, report.sample.unit
    rows = []
    for fit in report.estimate.assumed:
        b_life = fit.b_life(question.percent)
        chosen = fit.shape == question.shape_assumed
        rows.append(
            [
                {"text": number(fit.shape, 3), "flag": "assumed" if chosen else ""},
                numeric(shown(fit.scale, 1)),
                numeric(limits_text(fit.scale_interval, 1)),
                numeric(shown(b_life.value, 1)),
                numeric(limits_text(b_life.interval, 1)),
            ]
        )
    share = f"{question.percent:g}"
    labels = (
        f"Characteristic life, {unit}",
        f"Its {percent_text(question.confidence)} interval",
        f"B{share} life, {unit}",
        f"Interval of the B{share} life",
    )
    return {"columns": columns("Shape", *labels, numbers=labels), "rows": rows}


def compared_table(report: LifeReport) -> Table:
    """The estimates of two populations side by side."""
    other = report.compared
    assert other is not None
    theirs = {figure.name: figure for figure in other.figures}
    rows = []
    for figure in report.figures:
        row = [{"text": figure.name}]
        for one in (figure, theirs.get(figure.name)):
            row += (
                [
                    numeric(value_text(one)),
                    numeric(limits_text(one.interval, places(one.unit))),
                ]
                if one
                else [numeric(NO_VALUE), numeric(NO_VALUE)]
            )
        rows.append(row)
    labels = [
        label
        for one in (report, other)
        for label in (one.question.name, f"Interval, {one.question.name}")
    ]
    return {"columns": columns("Figure", *labels, numbers=tuple(labels)), "rows": rows}


def population_table(report: LifeReport, query: QueryDict) -> Table:
    """Parts and plans in the choice, each leading to the page about it alone."""
    rows = []
    has_plans = any(one.piping_plan for one in report.populations)
    for one in report.populations[:MOST_ROWS]:
        address = address_with(
            reverse("analytics:life"),
            query,
            component=report.question.component,
            part=one.part,
            plan=one.piping_plan,
        )
        rows.append(
            [
                {
                    "text": one.part or "Not recorded",
                    "url": address if one.part else "",
                },
                *([{"text": one.piping_plan or NO_VALUE}] if has_plans else []),
                numeric(number(one.lives)),
                numeric(number(one.failed)),
                numeric(number(one.suspended)),
                *_fit_cells(one.fit),
            ]
        )
    labels = (
        *("Lives", "Failed", "Suspended", "Shape"),
        f"Characteristic life, {report.sample.unit}",
    )
    return {
        "columns": columns(
            "Part", *(["Piping plan"] if has_plans else []), *labels, numbers=labels
        ),
        "rows": rows,
    }


def _fit_cells(fit: WeibullFit | None) -> list[dict[str, Any]]:
    """Shape and characteristic life with their intervals; a dash without a fit."""
    if fit is None:
        return [numeric(NO_VALUE), numeric(NO_VALUE)]
    return [
        numeric(fixed(fit.shape, 2), note=limits_text(fit.shape_interval, 2)),
        numeric(fixed(fit.scale, 0), note=limits_text(fit.scale_interval, 0)),
    ]


def dead_table(sample: Sample) -> Table:
    """The lives that failed before they had run, each by name."""
    dead = sample.rows[sample.rows["reason"] == LeftOut.DEAD_ON_FITTING]
    rows = [
        [
            pump_cell(life),
            {"text": life["tag"] or NO_VALUE},
            {"text": Location(life["location"]).label},
            {"text": life["part"] or NO_VALUE},
            {"text": date(life["fitted_at"])},
        ]
        for life in dead.head(MOST_ROWS).to_dict("records")
    ]
    return {
        "columns": columns("Pump", "Position", "Place in the pump", "Part", "Fitted"),
        "rows": rows,
        "size": len(dead),
    }


def pump_cell(life: dict[Any, Any] | pd.Series) -> dict[str, Any]:
    """A pump's serial number, leading to its page."""
    address = reverse("plant:pump_detail", args=[life["pump_id"]])
    return {"text": life["serial_number"], "url": address}


def missing_table(report: LifeReport) -> Table:
    """Pumps in service in which no such component is on record."""
    rows = [
        [
            {
                "text": row["pump__serial_number"],
                "url": reverse("plant:pump_detail", args=[row["pump_id"]]),
            },
            {
                "text": row["position__tag"],
                "url": reverse("plant:position_detail", args=[row["position_id"]]),
            },
        ]
        for row in report.pumps_without_life[:MOST_ROWS]
    ]
    return {
        "columns": columns("Pump", "Position"),
        "rows": rows,
        "size": len(report.pumps_without_life),
    }
