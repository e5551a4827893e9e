"""All rules asked of one story, in the order in which an engineer would look."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime

from analytics.life.weibull import WeibullFit
from analytics.reports.story.bench import BenchStory
from analytics.reports.story.built import BuiltStory
from analytics.reports.story.costs import UsualCost
from analytics.reports.story.curve import PeerCurve
from analytics.reports.story.parts import PartStory
from analytics.reports.story.questions import failures, lives, machine
from analytics.reports.story.questions.question import Question
from analytics.reports.story.readings import ReadingStory
from analytics.reports.story.repairs import RepairRow, Shares, failures_of
from analytics.reports.story.subject import Stay, Subject


def questions_of_failures(
    repairs: Sequence[RepairRow], shares: Shares, bench: BenchStory
) -> Iterator[Question | None]:
    failed = failures_of(repairs)
    yield failures.fails_on_starting(failed, shares)
    yield failures.same_mechanism(failed, shares)
    yield failures.short_after_checks(bench)


def questions_of_machine(
    subject: Subject,
    built: BuiltStory,
    readings: ReadingStory,
    curve: PeerCurve | None,
) -> Iterator[Question | None]:
    place = subject.place
    if place is not None:
        yield machine.low_flow(place.flow_m3_h, readings.flow, place.bep_flow_m3_h)
    is_worse = curve is not None and curve.is_worse
    yield machine.soft_shaft(built.stiffness, fails_too_often=is_worse)
    yield machine.vibration_rising(readings.rises)


def questions_of_lives(
    parts: Sequence[PartStory], costs: Mapping[str, UsualCost]
) -> Iterator[Question | None]:
    known = [(part, part.others) for part in parts if part.others is not None]
    yield lives.short_lives([_facts(part, others) for part, others in known])
    for part, others in known:
        # Parts of many services mixed look as if they died young.
        if part.others_near:
            name = f"{part.part or 'This part'} elsewhere in the area"
            worst = part.others_bar_worst
            yield lives.dying_young(part.label, name, others, worst)
            cost = costs.get(part.component)
            yield lives.wears_out(part.label, name, others, cost)


def _facts(part: PartStory, others: WeibullFit) -> lives.PartFacts:
    b10 = others.b_life(10).value
    return lives.PartFacts(part.label, part.early, part.early_expected, b10)


def questions_of_stays(
    subject: Subject, repairs_there: Sequence[RepairRow], since: datetime
) -> Iterator[Question | None]:
    """Each machine that came and went at the tags, against its share of the time."""
    tags = {stay.position for stay in subject.stays}
    counted = [r for r in repairs_there if r.is_counted and r.reported_at > since]
    whole = len(tags) * (subject.as_of - since).total_seconds()
    for pump, serial in sorted({(stay.pump, stay.serial) for stay in subject.stays}):
        stays = [stay for stay in subject.stays if stay.pump == pump]
        time_there = sum(_seconds(stay, since, subject.as_of) for stay in stays)
        with_it = sum(row.pump == pump for row in counted)
        share = time_there / whole if whole > 0 else 0.0
        yield failures.follows_the_machine(serial, with_it, len(counted), share)


def _seconds(stay: Stay, since: datetime, as_of: datetime) -> float:
    start, end = max(stay.placed_at, since), stay.removed_at or as_of
    return max(0.0, (end - start).total_seconds())
