"""The tables of a story, as the table component takes them."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.urls import reverse

from analytics.reports.story.costs import YearCost
from analytics.reports.story.parts import HORIZON_DAYS, Length, PartStory
from analytics.reports.story.report import Story
from analytics.reports.story.timeline import Timeline
from analytics.tables import Cell
from plant.display import (
    NO_VALUE,
    count,
    date,
    fixed,
    hours,
    interval,
    money,
    percent,
)

MOST_CHECKS = 5
MOST_FINDINGS = 5
MOST_EVENTS = 400


@dataclass(frozen=True, slots=True)
class Table:
    """Columns and rows; `left_out` rows are not shown."""

    columns: list[Cell]
    rows: list[list[Cell]]
    left_out: int = 0


def parts_table(story: Story) -> Table:
    """What stands in the pump now."""
    heads = _heads(
        "Part", "Age now", f"Fails within {HORIZON_DAYS} days", "Failed here before"
    )
    return Table(heads, [_part(part, story) for part in story.parts])


def _part(part: PartStory, story: Story) -> list[Cell]:
    fitted = f"fitted {date(part.fitted_at)}"
    age: Cell = {"text": hours(part.age), "note": fitted}
    if part.age_estimated and part.age is not None:
        age["flag"] = "estimated"
    if part.age_now is Length.LONG:
        age["note"] = f"{fitted}; nine in ten fail before this age"
    name: Cell = {"text": part.part or NO_VALUE, "note": part.place}
    return [name, age, _chance(part, story), _past(part)]


def _chance(part: PartStory, story: Story) -> Cell:
    """The chance with its interval and population, or why there is none."""
    lives = count(part.lives, "life,lives")
    population = f"{part.population}: {lives}, {part.failed} failed"
    if part.chance is not None:
        limits = part.chance.interval
        words = interval(limits.low, limits.high, percent)
        return {
            "text": percent(part.chance.value),
            "note": f"{percent(limits.confidence)} interval {words}; {population}",
        }
    why = part.refusal or _why_no_chance(part, story)
    return {"text": NO_VALUE, "note": f"{why} {population}."}


def _why_no_chance(part: PartStory, story: Story) -> str:
    if part.age is None:
        return "Its beginning is not known, so its age is not either."
    if not story.subject.is_placed:
        return "It stands at no position, so it does not run."
    return "It does not run at this position."


def _past(part: PartStory) -> Cell:
    """How many failed here, and how long they lived beside those of others."""
    if not part.past:
        return {"text": "none"}
    known = [one.length for one in part.past if one.length is not None]
    sorts = [f"{known.count(length)} {length}" for length in Length if length in known]
    if Length.SHORT in known:
        expected = fixed(part.early_expected)
        sorts[0] += f" ({expected} expected from other pumps)"
    sorts.append(f"the last {hours(part.past[-1].hours)}")
    return {"text": count(len(part.past), "part"), "note": ", ".join(sorts)}


def findings_table(story: Story) -> Table:
    """Failures by mechanism."""
    rows = [
        [
            {"text": one.mechanism, "note": one.items},
            _number(str(one.times)),
            _number(percent(one.share)),
            _number(percent(one.usual)),
            _number(date(one.last)),
        ]
        for one in story.findings.mechanisms
    ]
    heads = _heads("Mechanism", "Failures", "Share", "Elsewhere", "Last", numbers=4)
    return Table(heads, rows[:MOST_FINDINGS], max(0, len(rows) - MOST_FINDINGS))


def patterns_table(story: Story) -> Table:
    """What was seen at teardown."""
    rows = [
        [{"text": one.pattern}, _number(str(one.times)), _number(date(one.last))]
        for one in story.findings.patterns
    ]
    heads = _heads("Seen at teardown", "Times", "Last", numbers=2)
    return Table(heads, rows[:MOST_FINDINGS], max(0, len(rows) - MOST_FINDINGS))


def costs_table(costs: Sequence[YearCost]) -> Table:
    """One line a year and currency; the kinds of cost are never added up."""
    heads = _heads(
        "Year", "Repair cost", "Lost production", "Environment, safety", numbers=3
    )
    rows = [
        [
            {"text": str(one.year)},
            *(
                _number(money(amount, one.currency, 0))
                for amount in (one.repair, one.production, one.environment)
            ),
        ]
        for one in costs
    ]
    return Table(heads, rows)


def checks_table(story: Story) -> Table:
    """Settings left out of limit, newest first."""
    out = story.bench.out[::-1]
    rows: list[list[Cell]] = [
        [
            {
                "text": one.number,
                "url": reverse("records:repair_detail", args=[one.repair]),
                "note": date(one.at),
            },
            {"text": one.label, "note": one.reason},
            _number(one.value),
            _number(one.limit),
        ]
        for one in out[:MOST_CHECKS]
    ]
    heads = _heads("Repair", "Check", "Left at", "Limit")
    for head in heads[2:]:
        head["numeric"] = True
    return Table(heads, rows, max(0, len(out) - MOST_CHECKS))


def events_table(events: Timeline) -> Table:
    """The marks of the timeline, newest first."""
    marks = events.marks[::-1]
    rows: list[list[Cell]] = [
        [
            {"text": date(mark.at)},
            {"text": mark.lane},
            {"text": mark.kind.value},
            _linked(mark.words, events.urls),
        ]
        for mark in marks[:MOST_EVENTS]
    ]
    heads = _heads("Day", "Of", "Event", "What")
    return Table(heads, rows, max(0, len(marks) - MOST_EVENTS))


def _linked(words: str, urls: dict[str, str]) -> Cell:
    return {"text": words, "url": urls[words]} if words in urls else {"text": words}


def steps_table(story: Story) -> Table:
    """Own repairs one by one, with the peers' mean at that time."""
    curve = story.curve
    rows: list[list[Cell]] = []
    if curve is not None:
        for number_so_far, age in enumerate(curve.ages.tolist(), start=1):
            mean = None if curve.peers is None else curve.peers.at(age)
            rows.append(
                [
                    {"text": fixed(age, 0)},
                    _number(str(number_so_far)),
                    _number(fixed(mean)),
                ]
            )
    heads = _heads("Days on record", "Repairs", "Mean of its peers", numbers=2)
    return Table(heads, rows)


def _heads(*labels: str, numbers: int = 0) -> list[dict[str, Any]]:
    """Columns, the last ones of numbers."""
    first = len(labels) - numbers
    return [
        {"label": label, "numeric": place >= first}
        for place, label in enumerate(labels)
    ]


def _number(text: str) -> Cell:
    return {"text": text, "numeric": True}
