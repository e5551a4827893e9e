"""What the pages of the reviews are given to show."""

from collections.abc import Iterable
from typing import Any

from django.urls import reverse

from analytics.models import Review, ReviewState
from analytics.reports.bad_actors.report import UnitKind
from analytics.reports.reviews.differences import Difference
from analytics.reports.reviews.sheet import ReviewSheet, SheetUnit
from plant import display

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
DIFFERENCE_COLUMNS = [
    {"label": "Figure"},
    {"label": "Frozen"},
    {"label": "From the records now"},
]


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
                else display.NO_VALUE
            },
        ]
        for review in reviews
    ]


def context(review: Review, sheet: ReviewSheet, *, may_keep: bool) -> dict[str, Any]:
    may_keep = may_keep and review.state == ReviewState.OPEN
    return {
        "review": review,
        "sheet": sheet,
        "steps": [{"label": "Reviews", "url": reverse("analytics:review_list")}],
        "may_keep": may_keep,
        "unit_columns": UNIT_COLUMNS,
        "unit_rows": [_unit_row(review, unit, may_keep) for unit in sheet.units],
        "action_columns": ACTION_COLUMNS,
        "action_rows": [[{"text": text} for text in row] for row in sheet.actions],
    }


def _unit_row(review: Review, unit: SheetUnit, may_decide: bool) -> list[Cell]:
    shown = unit.figures.get("shown", {})
    decided: Cell = {"text": unit.decided}
    if may_decide:
        kind, _, pk = unit.key.partition("-")
        decided["url"] = reverse(
            "analytics:review_decide", args=[review.pk, kind, int(pk)]
        )
    rate = shown.get("rate", display.NO_VALUE)
    return [
        {
            "text": unit.name,
            "url": unit_address(unit.key),
            "note": unit.figures.get("place", ""),
        },
        {"text": shown.get("repairs", display.NO_VALUE), "numeric": True},
        {"text": rate, "numeric": True, "note": shown.get("interval", "")},
        {"text": unit.why},
        decided,
    ]


def unit_address(key: str) -> str:
    kind, _, pk = key.partition("-")
    of_position = kind == UnitKind.POSITION
    return reverse(
        "plant:position_detail" if of_position else "plant:pump_detail", args=[int(pk)]
    )


def difference_rows(differences: Iterable[Difference]) -> list[list[Cell]]:
    return [
        [{"text": row.about}, {"text": row.frozen}, {"text": row.now}]
        for row in differences
    ]
