"""Limits of checks as table and as export."""

from collections.abc import Iterable
from typing import Any

from django.urls import reverse

from plant import display
from records.check_catalogue import CATALOGUE
from records.check_choices import CheckKind
from records.check_words import limit_in_words
from records.selectors.limit_rows import LimitChange, LimitRow

Cell = dict[str, Any]
COLUMNS = [
    {"label": "Check"},
    {"label": "Holds for"},
    {"label": "Limit"},
    {"label": "Source"},
    {"label": "How sure"},
]
MAY_CHANGE = [{"label": "Change"}, {"label": "Remove"}]
CHANGE_COLUMNS = [
    {"label": "When"},
    {"label": "Who"},
    {"label": "What"},
    {"label": "Check"},
    {"label": "Held for"},
    {"label": "Limit"},
    {"label": "Source"},
]
EXPORT_HEADER = [
    "check",
    "site",
    "design",
    "size",
    "low",
    "high",
    "unit",
    "source",
    "how_sure",
]
# Limits that no single number says, because they follow from the pump's data.
WORKED_OUT = (CheckKind.OFFSET, CheckKind.ANGULARITY, CheckKind.BALANCE)


def columns_for(may_change: bool) -> list[dict[str, str]]:
    return COLUMNS + MAY_CHANGE if may_change else COLUMNS


def limit_cells(rows: Iterable[LimitRow], may_change: bool) -> list[list[Cell]]:
    return [_row(row, may_change) for row in rows]


def _row(row: LimitRow, may_change: bool) -> list[Cell]:
    described = row.described
    return [
        {"text": described.label},
        {"text": _case(row), "flag": "site's own" if row.own else ""},
        {"text": _limit(row)},
        {"text": row.source},
        {"text": row.certainty},
        *(_ways_on(row) if may_change else []),
    ]


def _ways_on(row: LimitRow) -> list[Cell]:
    """Only a site's own limit is changed; the one we ship stays under it."""
    if row.own is None:
        return [{"text": display.NO_VALUE}, {"text": display.NO_VALUE}]
    return [
        {"text": word, "url": reverse(name, args=[row.own.pk])}
        for word, name in (
            ("Change", "records:limit_edit"),
            ("Remove", "records:limit_remove"),
        )
    ]


def _case(row: LimitRow) -> str:
    if row.own is None:
        return "Any pump"
    return _in_words(row.own.site.name, row.own.design, row.own.size)


def _in_words(site: str, design: str, size: str) -> str:
    return ", ".join([site, design or "any design", size or "any size"])


def _limit(row: LimitRow) -> str:
    if row.own is None and row.described.kind in WORKED_OUT:
        return f"worked out, in {row.described.unit}"
    return limit_in_words(row.low, row.high, row.described.unit)


def change_cells(changes: Iterable[LimitChange]) -> list[list[Cell]]:
    return [
        [
            {"text": display.date_time(change.at)},
            {"text": change.who},
            {"text": change.what},
            {"text": str(CheckKind(change.row.kind).label)},
            {
                "text": _in_words(
                    change.row.site.name, change.row.design, change.row.size
                )
            },
            {
                "text": limit_in_words(
                    change.row.low,
                    change.row.high,
                    CATALOGUE[CheckKind(change.row.kind)].unit,
                )
            },
            {"text": change.row.source},
        ]
        for change in changes
    ]


def export_row(row: LimitRow) -> list[Any]:
    own = row.own
    return [
        row.described.kind.value,
        own.site.name if own else "",
        own.design if own else "",
        own.size if own else "",
        row.low,
        row.high,
        row.described.unit,
        row.source,
        row.certainty,
    ]
