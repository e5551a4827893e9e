"""One story read once: every part of the page speaks of the same rows.

The number of queries is fixed, and what is read of other pumps is bounded by the
neighbours, so a story costs the same in a fleet of ten thousand positions.
"""

from dataclasses import dataclass
from datetime import datetime, time

from django.utils import timezone

from analytics.reports.story.bench import BenchStory, bench_story
from analytics.reports.story.built import BuiltStory, built_story
from analytics.reports.story.costs import YearCost, cost_by_year, usual_costs
from analytics.reports.story.curve import PeerCurve, peer_curve
from analytics.reports.story.findings import Findings, findings_of
from analytics.reports.story.lives import story_lives
from analytics.reports.story.neighbours import Neighbours, neighbours_of
from analytics.reports.story.parts import PartStory, part_stories
from analytics.reports.story.questions import Question
from analytics.reports.story.questions.asked import (
    questions_of_failures,
    questions_of_lives,
    questions_of_machine,
    questions_of_stays,
)
from analytics.reports.story.readings import ReadingStory, reading_story
from analytics.reports.story.repairs import (
    neighbour_shares,
    repairs_of,
    repairs_where_it_stood,
)
from analytics.reports.story.subject import Subject
from analytics.reports.story.timeline import Timeline, timeline
from plant.models import Site
from records.counting import Rule, rules_by_site


@dataclass(frozen=True, slots=True, eq=False)
class Story:
    """Everything on record of a position or machine, up to `subject.as_of`.

    `costs` is none for whoever may not see costs.
    """

    subject: Subject
    neighbours: Neighbours
    rule: Rule
    built: BuiltStory
    timeline: Timeline
    curve: PeerCurve | None
    parts: tuple[PartStory, ...]
    findings: Findings
    costs: tuple[YearCost, ...] | None
    bench: BenchStory
    readings: ReadingStory
    questions: tuple[Question, ...]


def story(subject: Subject) -> Story:
    """Read and judge."""
    site = subject.place.site if subject.place else _site_of_machine(subject)
    rules = rules_by_site([site])
    near = (
        neighbours_of(user=subject.user, place=subject.place)
        if subject.place
        else Neighbours((), False)
    )
    repairs = repairs_of(subject, rules)
    there = repairs_where_it_stood(subject, rules) if subject.is_machine else repairs
    shares = neighbour_shares(subject, near.pks, rules)
    lives = story_lives(subject, near.pks)
    parts = part_stories(subject, lives, near.places)
    built, readings = built_story(subject), reading_story(subject)
    bench = bench_story(repairs, lives, parts)
    curve = peer_curve(subject, repairs, near.pks)
    asked = (
        *questions_of_machine(subject, built, readings, curve),
        *questions_of_failures(repairs, shares, bench),
        *questions_of_stays(subject, there, _since(subject)),
        *questions_of_lives(parts, usual_costs(subject, near.pks)),
    )
    return Story(
        subject=subject,
        neighbours=near,
        rule=rules[site.pk],
        built=built,
        timeline=timeline(subject, repairs, lives, readings, bench),
        curve=curve,
        parts=parts,
        findings=findings_of(repairs, shares),
        costs=cost_by_year(subject),
        bench=bench,
        readings=readings,
        questions=tuple(question for question in asked if question is not None),
    )


def _site_of_machine(subject: Subject) -> Site:
    assert subject.machine is not None
    return subject.machine.site


def _since(subject: Subject) -> datetime:
    """When its watch began: the records of the place, else its first placement."""
    first = min((stay.placed_at for stay in subject.stays), default=subject.as_of)
    if subject.place is None:
        return first
    day = subject.place.records_from or subject.place.site.records_from
    if day is None:
        return first
    return max(first, timezone.make_aware(datetime.combine(day, time.min)))
