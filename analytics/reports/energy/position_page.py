"""What the page on the wear of one position is given to show."""

from collections.abc import Callable
from datetime import datetime

from django.http import QueryDict
from django.urls import reverse

from analytics.charts.efficiency import WearPoint, efficiency_plot, head_plot
from analytics.charts.theme import figure_json
from analytics.forms.energy import MotorForm, RenewalForm
from analytics.life.results import Estimate
from analytics.reports.costs.tabs import costs_tabs
from analytics.reports.energy import rounds_table
from analytics.reports.energy.judging import METER_ERROR, points
from analytics.reports.energy.position import LOOK_BACK_YEARS, PositionEnergy
from analytics.reports.energy.renewal_page import renewal_context
from analytics.reports.energy.series import moment_of
from analytics.reports.energy.table import in_points, limits, tenths
from analytics.reports.energy.words import method
from analytics.tables import Cell, address_with
from analytics.wording import confidence_label
from plant.display import NO_VALUE, count, date, percent


def context(
    about: PositionEnergy, motor: MotorForm, asked: RenewalForm, query: QueryDict
) -> Cell:
    line = about.line
    position = line.position
    here = reverse("analytics:energy_position", args=[position.pk])
    export = reverse("analytics:energy_rounds_export", args=[position.pk])
    return {
        "about": about,
        "position": position,
        "title": f"Energy and wear of {position.tag}",
        "subtitle": _subtitle(about),
        "steps": [
            {"label": "Energy and wear", "url": reverse("analytics:energy")},
            {"label": position.tag, "url": position.get_absolute_url()},
        ],
        "tabs": costs_tabs("energy", query),
        "here": here,
        "motor": motor,
        "form": asked,
        "verdict": str(line.efficiency.verdict.label),
        "sentence": line.efficiency.sentence,
        "tiles": tiles(about),
        "efficiency": _efficiency(about),
        "head": _head(about),
        "used": rounds_table.used(about),
        "left_out": rounds_table.left_out(about),
        "left_out_words": _left_out_words(about),
        "export_url": address_with(export, query),
        "method": method(motor.motor_efficiency()),
        **renewal_context(about, motor, asked),
    }


def _subtitle(about: PositionEnergy) -> str:
    stay = about.series.pump
    where = f"{about.line.position.area} · as of {date(about.as_of)}"
    if stay is None:
        return where
    return f"{stay.serial} · {about.series.since_words} · {where}"


def tiles(about: PositionEnergy) -> list[Cell]:
    found = about.line.efficiency
    label = confidence_label(
        found.now.interval.confidence if found.now is not None else 0.90
    )
    sample = f"{count(len(found.used), 'round')} used"
    return [
        {
            "label": "Efficiency now",
            "value": NO_VALUE if found.now is None else tenths(found.now.value),
            "interval": f"{label}: {limits(found.now, tenths)}" if found.now else "",
            "note": f"{sample}, mean" if found.now else found.sentence,
        },
        {
            "label": "As new at that flow",
            "value": NO_VALUE if found.as_new is None else tenths(found.as_new),
            "note": about.known.words,
        },
        {
            "label": "Drop",
            "value": NO_VALUE if found.drop is None else in_points(found.drop.value),
            "unit": "points" if found.drop is not None else "",
            "interval": (
                f"{label}: {limits(found.drop, in_points)} points" if found.drop else ""
            ),
            "note": (
                f"plant meters may err by {points(found.allowance)}"
                if found.allowance is not None
                else ""
            ),
        },
    ]


def _efficiency(about: PositionEnergy) -> Cell | None:
    told = about.told
    if not told:
        return None
    used = {one.round.microseconds for one in about.line.efficiency.used}
    drawn = [
        WearPoint(
            at=one.round.read_at,
            value=100 * one.efficiency,
            as_new=None if one.as_new is None else 100 * one.as_new,
            is_used=one.round.microseconds in used,
        )
        for one in told
    ]
    allowance = about.line.efficiency.allowance
    figure = efficiency_plot(
        drawn, None if allowance is None else 100 * allowance, _marks(about)
    )
    table = rounds_table.efficiencies(about)
    return {
        "figure": figure_json(figure),
        "reading": _efficiency_words(about),
        "columns": table.columns,
        "rows": table.rows,
    }


def _marks(about: PositionEnergy) -> list[tuple[datetime, str]]:
    """The opening, where rounds lie on both sides of it."""
    opening, since = about.opening, about.series.since
    if opening is None or since is None or about.told[0].round.microseconds > since:
        return []
    return [(moment_of(since), f"opened: {opening.number}")]


def _efficiency_words(about: PositionEnergy) -> str:
    words = (
        "Full marks are the rounds used for now, open ones are not used. "
        f"The band is {percent(METER_ERROR)} about as new: what lies in it, meters may "
        "make."
    )
    pace = about.pace
    if pace is None:
        return words
    changed = _change(pace, points, f"{limits(pace, in_points)} points a year", about)
    return f"{words} {_since(about)} {changed}"


def _change(
    pace: Estimate, show: Callable[[float], str], within: str, about: PositionEnergy
) -> str:
    """How a figure goes with time, in words where the sign itself is not clear."""
    label = confidence_label(pace.interval.confidence)
    basis = f"({label} {within}, {count(len(about.heads), 'round')}, least squares)."
    if 0.0 in pace.interval:
        return f"no change with time is clear {basis}"
    verb = "falls" if pace.value < 0 else "rises"
    return f"it {verb} by {show(abs(pace.value))} a year {basis}"


def _since(about: PositionEnergy) -> str:
    words = about.series.since_words
    return f"{words[:1].upper()}{words[1:]},"


def _head(about: PositionEnergy) -> Cell | None:
    if not about.heads:
        return None
    used = {one.round.read_at for one in about.line.efficiency.used}
    drawn = [
        WearPoint(one.read_at, one.head_m, one.as_new_m, one.read_at in used)
        for one in about.heads
    ]
    table = rounds_table.heads(about)
    return {
        "figure": figure_json(head_plot(drawn)),
        "reading": _head_words(about),
        "columns": table.columns,
        "rows": table.rows,
    }


def _head_words(about: PositionEnergy) -> str:
    words = (
        f"Rounds within 5 % of the same flow, {about.series.since_words}. A head that "
        "falls at the same flow is wear inside the pump, or a suction or gauge that "
        "changed."
    )
    pace = about.head_pace
    if pace is None:
        return f"{words} Fewer than three rounds: no pace."
    changed = _change(pace, tenths, f"{limits(pace, tenths)} a year", about)
    return f"{words} {changed[:1].upper()}{changed[1:]}"


def _left_out_words(about: PositionEnergy) -> str:
    parts = [
        count(size, noun)
        for size, noun in (
            (about.struck, "struck reading"),
            (about.standby, "reading on standby,readings on standby"),
            (about.series.of_others, "round of other pumps,rounds of other pumps"),
        )
        if size
    ]
    found = f" Also left out: {', '.join(parts)}." if parts else ""
    return f"The page looks back {LOOK_BACK_YEARS} years.{found}"
