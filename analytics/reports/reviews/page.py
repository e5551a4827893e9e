"""What the pages of the reviews are given to show."""

from collections.abc import Iterable
from datetime import date
from typing import Any

from django.urls import reverse

from analytics.charts.mtbr_line import mtbr_line
from analytics.charts.theme import figure_json
from analytics.models import Review, ReviewState
from analytics.reports.bad_actors.report import UnitKind
from analytics.reports.reviews.differences import Difference
from analytics.reports.reviews.figures import Figures, month_end
from analytics.reports.reviews.sheet import ReviewSheet, SheetPoint, SheetUnit
from analytics.reports.reviews.units import unit_key
from analytics.reports.reviews.way_back import action_address
from analytics.scope import today
from plant import display
from plant.models import Position, Pump

Cell = dict[str, Any]

LIST_COLUMNS = [
    {"label": "Month"},
    {"label": "Site"},
    {"label": "State"},
    {"label": "Decided", "numeric": True},
    {"label": "Opened by"},
    {"label": "Closed"},
]
UNIT_COLUMNS = [
    {"label": "Unit"},
    {"label": "Repairs", "numeric": True},
    {"label": "Events a year", "numeric": True},
    {"label": "Why it is here"},
    {"label": "Decided"},
]
ACTION_COLUMNS = [
    {"label": "Action"},
    {"label": "Owner"},
    {"label": "Due"},
    {"label": "State"},
]
ROLLING_COLUMNS = [
    {"label": "12 months to"},
    {"label": "MTBR, months", "numeric": True},
    {"label": "90 % interval", "numeric": True},
]
DIFFERENCE_COLUMNS = [
    {"label": "Figure"},
    {"label": "Frozen"},
    {"label": "From the records now"},
]


RUNS = "The month still runs: it is decided and closed when it is over."


def list_rows(reviews: Iterable[Review]) -> list[list[Cell]]:
    return [
        [
            {"text": f"{review.month:%B %Y}", "url": review.get_absolute_url()},
            {"text": review.site.name},
            {"text": review.get_state_display()},
            {"text": display.number(review.decided), "numeric": True},  # type: ignore[attr-defined]
            {"text": str(review.opened_by)},
            {
                "text": display.date_time(review.closed_at)
                if review.closed_at
                else display.NO_VALUE,
                "note": str(review.closed_by) if review.closed_by else "",
            },
        ]
        for review in reviews
    ]


def steps_to(review: Review) -> list[Cell]:
    """The way from the list down to one review."""
    return [
        {"label": "Reviews", "url": reverse("analytics:review_list")},
        {"label": str(review), "url": review.get_absolute_url()},
    ]


def context(review: Review, sheet: ReviewSheet, *, may_keep: bool) -> dict[str, Any]:
    is_open = review.state == ReviewState.OPEN
    runs = is_open and month_end(review.month) >= today()
    may_keep = may_keep and is_open and not runs
    return {
        "review": review,
        "sheet": sheet,
        "steps": steps_to(review)[:1],
        "may_keep": may_keep,
        "unit_columns": UNIT_COLUMNS,
        "unit_rows": [_unit_row(review, unit, may_keep) for unit in sheet.units],
        "action_columns": ACTION_COLUMNS,
        "action_rows": [
            _action_row(key, row)
            for key, row in zip(sheet.action_keys, sheet.actions, strict=True)
        ],
        "left": _left(sheet) if may_keep else "",
        "runs": RUNS if runs else "",
        **_rolling(sheet),
    }


def _rolling(sheet: ReviewSheet) -> dict[str, Any]:
    """The line of mean times as it was frozen, and its table, newest first."""
    if not any(point.value is not None for point in sheet.rolling):
        return {}
    drawn = mtbr_line(
        [date.fromisoformat(point.end) for point in sheet.rolling],
        [point.value for point in sheet.rolling],
        [point.low for point in sheet.rolling],
        [point.high for point in sheet.rolling],
        band="90 % interval",
    )
    return {
        "figure": figure_json(drawn),
        "rolling_columns": ROLLING_COLUMNS,
        "rolling_rows": [_point_row(point) for point in reversed(sheet.rolling)],
    }


def _point_row(point: SheetPoint) -> list[Cell]:
    limits = display.interval(point.low, point.high, display.fixed)
    value = display.NO_VALUE if point.value is None else display.fixed(point.value)
    return [
        {"text": point.end},
        {"text": value, "numeric": True},
        {"text": limits, "numeric": True},
    ]


def _left(sheet: ReviewSheet) -> str:
    """What stands between the month and its closing."""
    waiting = [unit.name for unit in sheet.units if unit.waits]
    if not waiting:
        return "Every unit flagged or carried over is decided: the month can be closed."
    return (
        f"Still to decide before the month can be closed: {', '.join(waiting)}. "
        "The last column leads to the decision."
    )


def _action_row(key: str, row: tuple[str, ...]) -> list[Cell]:
    first: Cell = {"text": row[0]}
    if key:
        first["url"] = reverse("records:action_detail", args=[int(key)])
    return [first, *({"text": text} for text in row[1:])]


def deciding(
    review: Review, unit: Position | Pump, kind: str, listed: SheetUnit | None
) -> dict[str, Any]:
    """What stands beside the form of one decision."""
    evidence = listed.figures["reason"] if listed else ""
    return {
        "unit": unit,
        "listed": listed,
        "evidence": evidence_entries(listed.figures) if listed else [],
        "story_url": story_address(unit_key(UnitKind(kind), unit.pk)),
        "action_url": action_address(review, unit, kind, evidence),
    }


def evidence_entries(figures: Figures) -> list[Cell]:
    """The figures behind one unit, as its decision page lists them."""
    shown = figures.get("shown", {})
    terms = (
        ("Repairs", shown.get("repairs", "")),
        ("Failures", display.number(figures.get("failures"))),
        ("Separate events", shown.get("events", "")),
        ("Expected of its peers", shown.get("expected", "")),
        ("Events a year", shown.get("rate", "")),
        ("90 % interval", shown.get("interval", "")),
        ("Sure to be worse than twice its peers", shown.get("worse", "")),
    )
    return [{"term": term, "text": text} for term, text in terms] if shown else []


def _unit_row(review: Review, unit: SheetUnit, may_decide: bool) -> list[Cell]:
    decided: Cell = {"text": unit.decided}
    if may_decide:
        kind, _, pk = unit.key.partition("-")
        decided["url"] = reverse(
            "analytics:review_decide", args=[review.pk, kind, int(pk)]
        )
    flag = {"flag": "flagged", "alert": True} if unit.figures["is_flagged"] else {}
    return [
        {
            "text": unit.name,
            "url": story_address(unit.key),
            "note": unit.place,
            **flag,
        },
        {"text": unit.repairs, "numeric": True},
        {"text": unit.rate, "numeric": True, "note": unit.interval},
        {"text": unit.why},
        decided,
    ]


def story_address(key: str) -> str:
    """What is behind the figures of a unit."""
    kind, _, pk = key.partition("-")
    name = "story" if kind == UnitKind.POSITION else "pump_story"
    return reverse(f"analytics:{name}", args=[int(pk)])


EXPORT_HEADER = [
    *("unit", "place", "flagged", "against_last_month", "repairs", "failures"),
    *("separate_events", "events_a_year", "interval", "expected_of_its_peers"),
    *("sure_to_be_worse_than_twice_its_peers", "why", "decided"),
]


def export_row(unit: SheetUnit) -> list[Any]:
    """The unit's line with the very texts of the page."""
    figures, shown = unit.figures, unit.figures.get("shown", {})
    return [
        unit.name,
        unit.place,
        "yes" if figures["is_flagged"] else "no",
        figures["status"],
        unit.repairs,
        figures.get("failures"),
        shown.get("events", ""),
        unit.rate,
        unit.interval,
        shown.get("expected", ""),
        shown.get("worse", ""),
        unit.why,
        unit.decided,
    ]


def difference_rows(differences: Iterable[Difference]) -> list[list[Cell]]:
    return [
        [{"text": row.about}, {"text": row.frozen}, {"text": row.now}]
        for row in differences
    ]
