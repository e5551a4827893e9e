"""The events of a story in order of time, for its drawing and its table."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, time

import pandas as pd
from django.urls import reverse

from analytics.charts.story_timeline import Kind, Mark, Span
from analytics.reports.story.bench import BenchStory
from analytics.reports.story.lives import StoryLives
from analytics.reports.story.readings import ReadingStory
from analytics.reports.story.repairs import RepairRow
from analytics.reports.story.subject import Subject
from analytics.samples import Status
from plant.choices import Ending, Location
from plant.display import hours
from records.models import Action
from records.selectors.actions import actions_about

PLACEMENTS, REPAIRS, READINGS = "Placements", "Repairs", "Readings"
CHECKS, ACTIONS = "Checks", "Actions"
# Share of the time drawn that is left free before the first event.
MARGIN = 0.02


@dataclass(frozen=True, slots=True)
class Timeline:
    lanes: tuple[str, ...]
    spans: tuple[Span, ...]
    marks: tuple[Mark, ...]
    since: datetime
    urls: dict[str, str]
    """Addresses of repairs and actions by the words of their marks."""


def timeline(
    subject: Subject,
    repairs: Sequence[RepairRow],
    lives: StoryLives,
    readings: ReadingStory,
    bench: BenchStory,
) -> Timeline:
    """All that happened, from what was read before; actions take two queries."""
    actions = _actions(subject)
    life_spans, life_marks = _lives(subject, lives)
    marks = [
        *_placements(subject),
        *(_repair(row, subject) for row in repairs),
        *life_marks,
        *(Mark(READINGS, one.at, Kind.BEYOND, one.words) for one in readings.beyond),
        *(
            Mark(
                CHECKS,
                one.at,
                Kind.CHECK,
                f"{one.label} left at {one.value}, limit {one.limit} ({one.number})",
            )
            for one in bench.out
        ),
        *(mark for mark, _url in actions),
    ]
    places = sorted(set(lives.own["location"]), key=list(Location).index)
    lanes = [PLACEMENTS, REPAIRS, *(str(Location(p).label) for p in places)]
    used = {mark.lane for mark in marks}
    lanes += [lane for lane in (READINGS, CHECKS, ACTIONS) if lane in used]
    urls = {
        _repair(row, subject).words: reverse("records:repair_detail", args=[row.pk])
        for row in repairs
    } | {mark.words: url for mark, url in actions}
    return Timeline(
        tuple(lanes),
        (*_stays(subject), *life_spans),
        tuple(sorted(marks, key=lambda mark: mark.at)),
        _since(subject, life_spans, marks),
        urls,
    )


def _since(subject: Subject, lives: Sequence[Span], marks: Sequence[Mark]) -> datetime:
    """A little before the first event; placements of long before stay outside."""
    moments = [mark.at for mark in marks if mark.kind is not Kind.PLACED]
    moments += [span.start for span in lives]
    if not moments:
        moments = [mark.at for mark in marks]
    first = min(moments, default=subject.as_of)
    return first - (subject.as_of - first) * MARGIN


def _stays(subject: Subject) -> list[Span]:
    return [
        Span(
            PLACEMENTS,
            stay.placed_at,
            stay.removed_at or subject.as_of,
            stay.tag if subject.is_machine else stay.serial,
        )
        for stay in subject.stays
    ]


def _placements(subject: Subject) -> list[Mark]:
    return [
        Mark(
            PLACEMENTS,
            stay.placed_at,
            Kind.PLACED,
            f"Placed at {stay.tag}" if subject.is_machine else f"{stay.serial} placed",
        )
        for stay in subject.stays
    ]


def _repair(row: RepairRow, subject: Subject) -> Mark:
    what = [row.item_in_words, row.mechanism_in_words.lower()]
    where = f" at {row.tag}" if subject.is_machine else ""
    words = f"{row.number}{where}: {', '.join(part for part in what if part)}"
    kind = Kind.FAILURE if row.is_failure else Kind.REPAIR
    return Mark(REPAIRS, row.reported_at, kind, words)


def _lives(subject: Subject, lives: StoryLives) -> tuple[list[Span], list[Mark]]:
    spans, marks = [], []
    for life in lives.own.to_dict("records"):
        lane = str(Location(life["location"]).label)
        part = life["part"] or "part not named"
        is_over = bool(life["closed"])
        end = life["ended"].to_pydatetime() if is_over else subject.as_of
        age = "" if pd.isna(life["age"]) else f" after {hours(life['age'])}"
        how = str(Ending(life["ending"]).label).lower()
        words = f"{part}: {how}{age}" if is_over else f"{part}: in service{age}"
        start = min(life["started"].to_pydatetime(), end)
        stay = None if subject.is_machine else subject.stay_of(life["pump_id"], end)
        if stay is not None:
            # What it ran elsewhere is the story of another position.
            start = max(start, stay.placed_at)
            end = min(end, max(start, stay.removed_at or end))
        spans.append(Span(lane, start, end, words))
        if is_over:
            failed = life["status"] == Status.FAILED or life["ending"] == Ending.FAILED
            kind = Kind.FAILED if failed else Kind.ENDED
            marks.append(Mark(lane, end, kind, words))
    return spans, marks


def _actions(subject: Subject) -> list[tuple[Mark, str]]:
    position = None if subject.is_machine else subject.place
    pump = subject.machine if subject.is_machine else None
    rows = actions_about(user=subject.user, position=position, pump=pump)
    return [pair for action in rows for pair in _action(action)]


def _action(action: Action) -> list[tuple[Mark, str]]:
    url = action.get_absolute_url()
    words = f"Action {action.pk} decided: {action.title}"
    found = [(Mark(ACTIONS, action.decided_at, Kind.ACTION, words), url)]
    if action.done_on is not None:
        at = datetime.combine(action.done_on, time(12), UTC)
        done = f"Action {action.pk} done: {action.title}"
        found.append((Mark(ACTIONS, at, Kind.DONE, done), url))
    return found
