"""What the page of a story is given to show."""

import numpy as np
from django.urls import reverse

from analytics.charts.mean_cumulative import StepCurve, mean_cumulative_plot
from analytics.charts.story_timeline import story_timeline
from analytics.charts.theme import figure_json
from analytics.reports.story import tables
from analytics.reports.story.curve import PeerCurve
from analytics.reports.story.findings import Findings
from analytics.reports.story.parts import CONFIDENCE
from analytics.reports.story.report import Story
from analytics.tables import Cell
from plant.display import NO_VALUE, count, date, fixed, interval, percent

CURVE_HEIGHT = 340
TIMELINE_READING = (
    "Left to right is time; each kind of event has its own mark. Look for parts that "
    "fail one after the other, and for what changed before they began to."
)


def context(story: Story) -> Cell:
    """Everything in the order of the page."""
    subject = story.subject
    costs = story.costs
    return {
        "title": f"The whole story of {subject.label}",
        "subtitle": _subtitle(story),
        "steps": _steps(story),
        "machine": story.built.machine,
        "duty": story.built.duty,
        "derived": story.built.derived,
        "questions": story.questions,
        "timeline": _timeline(story),
        "curve": _curve(story),
        "no_curve": "" if story.curve else "It has not stood at a position yet.",
        "parts": tables.parts_table(story),
        "mechanisms": tables.findings_table(story),
        "patterns": tables.patterns_table(story),
        "findings_words": _findings_words(story.findings),
        "sees_costs": costs is not None,
        "costs": tables.costs_table(costs or ()),
        "checks": tables.checks_table(story),
        "checks_words": _checks_words(story),
        "method": _method(story),
    }


def _findings_words(findings: Findings) -> str:
    failures = count(findings.failures, "failure")
    if not findings.failures:
        return "No failure is on record."
    if not findings.unknown:
        return f"{failures}, the mechanism of each on record."
    return f"{failures}; of {findings.unknown} the mechanism is not known."


def _subtitle(story: Story) -> str:
    place, as_of = story.subject.place, date(story.subject.as_of)
    where = [str(place.area), place.liquid] if place is not None else []
    if place is not None and story.subject.is_machine:
        verb = "stands at" if story.subject.is_placed else "stood longest at"
        where.insert(0, f"{verb} {place.tag}")
    return " · ".join([*filter(None, where), f"as of {as_of}"])


def _steps(story: Story) -> list[Cell]:
    owner = story.subject.machine if story.subject.is_machine else story.subject.place
    assert owner is not None
    lists = {
        True: ("Machines", "plant:pump_list"),
        False: ("Pumps", "plant:position_list"),
    }
    label, name = lists[story.subject.is_machine]
    return [
        {"label": label, "url": reverse(name)},
        {"label": str(owner), "url": owner.get_absolute_url()},
    ]


def _timeline(story: Story) -> Cell:
    events = story.timeline
    figure = story_timeline(
        events.lanes,
        events.spans,
        events.marks,
        events.since,
        story.subject.as_of,
    )
    table = tables.events_table(events)
    return {
        "figure": figure_json(figure),
        "reading": TIMELINE_READING,
        "columns": table.columns,
        "rows": table.rows,
        "left_out": table.left_out,
    }


def _curve(story: Story) -> Cell | None:
    curve = story.curve
    if curve is None or not (curve.events or curve.peers):
        return None
    figure = mean_cumulative_plot(
        _lines(story.subject.label, curve), unit_words="days", event="repair"
    )
    figure.update_layout(height=CURVE_HEIGHT)
    table = tables.steps_table(story)
    return {
        "figure": figure_json(figure),
        "reading": curve_words(curve),
        "columns": table.columns,
        "rows": table.rows,
    }


def _lines(label: str, curve: PeerCurve) -> list[StepCurve]:
    so_far = np.arange(1.0, curve.events + 1.0)
    lines = [StepCurve(label, curve.ages, so_far, None, None, curve.end)]
    if curve.peers is not None:
        mean = curve.peers
        lines.append(
            StepCurve(
                curve.peers_name,
                mean.time,
                mean.mean,
                mean.lower,
                mean.upper,
                curve.peers_end,
            )
        )
    return lines


def curve_words(curve: PeerCurve) -> str:
    """Own repairs against the mean of the peers in the same time."""
    own = f"{count(curve.events, 'repair')} in {fixed(curve.end, 0)} days on record"
    if curve.expected is None:
        return f"{own}; its peers had none by then. A steeper line is a worse pump."
    named = curve.peers_name.removeprefix("Peers: ")
    peers = f"{named}, {count(curve.peer_positions, 'position')}"
    return (
        f"{own}; its peers ({peers}) had {fixed(curve.expected)} on average by then "
        f"({_limits_of_mean(curve)}). A steeper line is a worse pump."
    )


def _limits_of_mean(curve: PeerCurve) -> str:
    limits = interval(curve.low, curve.high, fixed)
    if limits == NO_VALUE:
        return "without an interval, which one position alone does not give"
    return f"{percent(CONFIDENCE)} interval of the mean {limits}"


def _checks_words(story: Story) -> str:
    bench = story.bench
    if not bench.measured:
        return "No check is on record as left."
    last = f", last on {date(bench.out[-1].at)}" if bench.out else ""
    return (
        f"{len(bench.out)} of {count(bench.measured, 'check')} left out of limit{last}."
    )


def _method(story: Story) -> list[str]:
    return [
        story.neighbours.in_words(),
        "Chance of failing: Weibull fitted to lives of the same part and plan; its own "
        "where ten of them failed here, else those of the area where five failed, else "
        "all compared. Short: below the age by which one in ten fails in other pumps; "
        "long: above that of nine in ten.",
        "Questions come from fixed rules: most ask only when chance alone would bring "
        "the like in fewer than 1 of 100 pumps. They are no findings.",
        story.rule.in_words(),
    ]
