"""What the Rating life view shows: rated and observed life, and what is asked for."""

from typing import Any

from analytics.reports.life.answer import ViewAnswer, bounds, sample_row
from analytics.reports.life.rating import (
    NEEDED,
    LifeRatings,
    RatedDesignation,
    failures_of,
)
from analytics.reports.life.tables import columns, limits_text, numeric
from plant.display import NO_VALUE, count, fixed, interval, number, percent
from plant.ratings.bearing_life import ISO_281

NOT_KNOWN = "Cannot be told"
CAUSES = (
    "A rating is for fatigue only; most pump bearings die of dirt, water or bad "
    "lubrication first. A B10 below the rating says: look at those."
)


def rating_answer(found: LifeRatings) -> ViewAnswer:
    """Page and file of ratings against observed lives."""
    if found.refusal:
        return ViewAnswer(refusal=found.refusal, method="rating")
    return ViewAnswer(
        lead=_lead(found),
        cautions=tuple(filter(None, [_to_record(found)])),
        judges_parts=True,
        tables=[_designations(found), _targets(found)],
        words=(
            CAUSES,
            "Balls or rollers are told from the designation (cylindrical N.., "
            "spherical 213.. to 241.., tapered 302.. to 332.. are rollers; from "
            "memory); C of a pair must be that of the pair.",
        ),
        method="rating",
        rows=_export_rows(found),
    )


def judged(one: RatedDesignation) -> str:
    """How what was observed stands to the rating of the middle bearing."""
    if one.median is None or one.b10 is None:
        return NOT_KNOWN
    limits = one.b10.interval
    if limits.high < one.median:
        return "Falls short of its rating: something other than fatigue ends them"
    if limits.low > one.median:
        return "Outlasts its rating"
    return "Agrees with its rating, as far as these failures can tell"


def _lead(found: LifeRatings) -> str:
    told = [one for one in found.designations if judged(one) != NOT_KNOWN]
    short = [one.name for one in told if judged(one).startswith("Falls")]
    if not told:
        return (
            "No designation has both a rating life and enough failures for a B10, so "
            "nothing can be set side by side yet."
        )
    if not short:
        return (
            f"None of the {count(len(told), 'designation')} with a rating and enough "
            "failures is shown to fall short of its rating."
        )
    return (
        f"{', '.join(short)}: more than one in ten fails before its rating life. Look "
        "at lubrication, water, dirt and fitting before blaming the bearing."
    )


def _to_record(found: LifeRatings) -> str:
    """What to write down where ratings could not be worked out."""
    lacking = {name: size for name, size in found.missing.items() if size}
    if not lacking:
        return ""
    said = "; ".join(
        f"{NEEDED[name]} ({number(size)} of {number(_lives(found))} lives lack it)"
        for name, size in lacking.items()
    )
    return f"To get every rating life, record {said}."


def _lives(found: LifeRatings) -> int:
    return sum(one.lives for one in found.designations)


def _designations(found: LifeRatings) -> dict[str, Any]:
    rated = "Rating life L10h, h"
    b10 = "Observed B10, h"
    labels = ("Rated", rated, "Failed", b10)
    return {
        "caption": "Rated and observed life by designation",
        "columns": columns("Designation", *labels, "Verdict", numbers=labels),
        "rows": [_designation_row(one) for one in found.designations],
        "note": f"{ISO_281} (found in public guides): the middle one of the rated "
        "lives, their range below it. B10 by Weibull fit with its "
        f"{percent(found.reading.question.confidence)} interval.",
    }


def _designation_row(one: RatedDesignation) -> list[dict[str, Any]]:
    spread = ""
    if one.ratings:
        low, high = min(one.ratings), max(one.ratings)
        spread = interval(low, high, lambda life: fixed(life, 0))
    limits = limits_text(one.b10.interval, 0) if one.b10 else one.refusal
    return [
        {"text": one.name or "Not recorded", "note": f"{one.kind} bearing"},
        numeric(f"{number(len(one.ratings))} of {number(one.lives)}"),
        numeric(fixed(one.median, 0), note=spread),
        numeric(number(failures_of(one))),
        numeric(fixed(one.b10.value, 0) if one.b10 else NO_VALUE, note=limits),
        {"text": judged(one)},
    ]


def _targets(found: LifeRatings) -> dict[str, Any]:
    labels = ("Least life, h", "Reach it", "Rating not known")
    return {
        "caption": "What is in service against what the standards ask for",
        "columns": columns(
            *("Document", "Holds for"), *labels, "Source", numbers=labels
        ),
        "rows": [
            [
                {"text": one.target.hours.source, "note": one.target.where},
                {"text": str(one.target.scope)},
                numeric(number(round(one.target.hours))),
                numeric(
                    f"{number(one.met)} of {number(one.known)}"
                    if one.known
                    else NO_VALUE
                ),
                numeric(number(one.unknown)),
                {"text": str(one.target.hours.status)},
            ]
            for one in found.targets
        ],
        "note": "Targets are for the rating life, not for what is observed. Life of "
        "all bearings of a pump together is shown for the choice of all bearings.",
    }


def _export_rows(found: LifeRatings) -> list[list[Any]]:
    rows: list[list[Any]] = []
    none = bounds(None)
    for one in found.designations:
        b10 = one.b10
        median = "" if one.median is None else one.median
        ends = [min(one.ratings), max(one.ratings), ""] if one.ratings else none
        rows.append(
            [one.name, "rating life L10h", median, *ends, "h", ISO_281]
            + [f"{len(one.ratings)} of {one.lives} lives rated"]
        )
        rows.append(
            [one.name, "observed B10", b10.value if b10 else ""]
            + [*bounds(b10.interval if b10 else None), "h"]
            + [b10.interval.method if b10 else "", one.refusal or judged(one)]
        )
    for met in found.targets:
        hours = met.target.hours
        note = f"{met.met} of {met.known} reach it; {met.unknown} not known"
        rows.append(
            [hours.source, f"target for {met.target.scope}", float(hours)]
            + [*none, "h", str(hours.status), note]
        )
    rows.append(sample_row(found.reading.sample))
    return rows
