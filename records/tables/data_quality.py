"""Tables of the data-quality page: the figures, and the rows behind one."""

from collections.abc import Callable, Iterable
from typing import Any

from django.http import QueryDict
from django.urls import reverse
from django.utils import timezone

from plant import display
from plant.models import FittedLife, Position
from records.check_catalogue import CATALOGUE
from records.models import Repair, SettingCheck
from records.quality.figures import QualityFigure
from records.quality.measures import Table

Cell = dict[str, Any]

FIGURE_COLUMNS = [
    {"label": "What"},
    {"label": "Rows", "numeric": True},
    {"label": "Share", "numeric": True},
    {"label": "Out of"},
    {"label": "Why it matters"},
]
GROUPS = {
    Table.REPAIRS: "Repairs",
    Table.CHECKS: "Settings",
    Table.LIVES: "Seals and bearings",
    Table.POSITIONS: "Positions",
}
ROW_COLUMNS: dict[Table, list[dict[str, Any]]] = {
    Table.REPAIRS: [
        {"label": "Repair"},
        {"label": "Tag"},
        {"label": "Pump"},
        {"label": "Reported"},
        {"label": "Days ago", "numeric": True},
        {"label": "Failed item"},
        {"label": "State"},
    ],
    Table.CHECKS: [
        {"label": "Repair"},
        {"label": "Tag"},
        {"label": "Setting"},
        {"label": "Value", "numeric": True},
        {"label": "Limit", "numeric": True},
        {"label": "Reason"},
    ],
    Table.LIVES: [
        {"label": "Part"},
        {"label": "Pump"},
        {"label": "Fitted"},
        {"label": "Taken out"},
        {"label": "Beginning"},
    ],
    Table.POSITIONS: [
        {"label": "Tag"},
        {"label": "Service"},
        {"label": "Sparing"},
    ],
}


def figure_groups(
    figures: Iterable[QualityFigure], query: QueryDict
) -> list[dict[str, Any]]:
    """One table a kind of rows; each figure leads to its rows."""
    figures = list(figures)
    return [
        {
            "caption": caption,
            "rows": [
                _figure_row(figure, query)
                for figure in figures
                if figure.measure.table is table
            ],
        }
        for table, caption in GROUPS.items()
    ]


def _figure_row(figure: QualityFigure, query: QueryDict) -> list[Cell]:
    measure = figure.measure
    address = reverse("records:data_quality_rows", args=[measure.key])
    asked = f"?{query.urlencode()}" if query else ""
    label: Cell = {"text": measure.label}
    if figure.doubtful:
        label["url"] = address + asked
    share = display.NO_VALUE if figure.share is None else display.percent(figure.share)
    return [
        label,
        {"text": display.number(figure.doubtful), "numeric": True},
        {"text": share, "numeric": True},
        {"text": f"{display.number(figure.total)} {measure.out_of_words}"},
        {"text": measure.why},
    ]


def row_cells(table: Table, rows: Iterable[Any]) -> list[list[Cell]]:
    return [_CELLS_OF[table](row) for row in rows]


def _repair(repair: Repair) -> list[Cell]:
    days = (timezone.now() - repair.reported_at).days
    return [
        {"text": repair.number, "url": repair.get_absolute_url()},
        {"text": repair.position.tag},
        {"text": str(repair.pump or display.NO_VALUE)},
        {"text": display.date_time(repair.reported_at)},
        {"text": display.number(days), "numeric": True},
        {"text": repair.get_item_display() or display.NO_VALUE},
        {"text": repair.get_state_display()},
    ]


def _check(check: SettingCheck) -> list[Cell]:
    unit = CATALOGUE[check.kind].unit  # type: ignore[index]
    value = display.NO_VALUE
    if check.value is not None:
        value = f"{display.number(check.value, 3)} {unit}"
    limit = display.interval(check.limit_low, check.limit_high)
    return [
        {"text": check.repair.number, "url": check.repair.get_absolute_url()},
        {"text": check.repair.position.tag},
        {"text": str(check)},
        {"text": value, "numeric": True},
        {"text": f"{limit} {unit}", "numeric": True},
        {"text": check.out_of_limit_reason or check.not_measured_reason},
    ]


def _life(life: FittedLife) -> list[Cell]:
    taken = display.date(life.removed_at) if life.removed_at else "still in"
    return [
        {"text": str(life), "url": life.pump.get_absolute_url()},
        {"text": life.pump.serial_number},
        {"text": display.date(life.fitted_at)},
        {"text": taken},
        {"text": life.get_beginning_display()},
    ]


def _position(position: Position) -> list[Cell]:
    return [
        {"text": position.tag, "url": position.get_absolute_url()},
        {"text": position.service},
        {"text": position.get_sparing_display()},
    ]


_CELLS_OF: dict[Table, Callable[[Any], list[Cell]]] = {
    Table.REPAIRS: _repair,
    Table.CHECKS: _check,
    Table.LIVES: _life,
    Table.POSITIONS: _position,
}
