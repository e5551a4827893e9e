"""Tables of readings: the latest ones judged, and all of them."""

from collections.abc import Sequence
from typing import Any

from django.urls import reverse

from plant import display
from plant.ratings.vibration import MEANINGS, VibrationZone
from records.models import Reading
from records.reading_choices import UNIT_OF_QUANTITY, RunningState
from records.selectors.readings import JudgedReading, Level

Cell = dict[str, Any]

LATEST_COLUMNS = [
    {"label": "Reading"},
    {"label": "Value", "numeric": True},
    {"label": "Read on"},
    {"label": "Judged"},
    {"label": "Warns"},
]
ALL_COLUMNS = [
    {"label": "Read on"},
    {"label": "Reading"},
    {"label": "Value", "numeric": True},
    {"label": "As typed", "numeric": True},
    {"label": "Pump"},
    {"label": "Kept by"},
    {"label": "Pump was"},
    {"label": "Remark"},
]
EXPORT_HEADER = (
    "read_at",
    "quantity",
    "point",
    "value",
    "unit",
    "entered_value",
    "entered_unit",
    "running_state",
    "serial_number",
    "instrument",
    "struck_reason",
)


def reading_words(reading: Reading) -> str:
    words = str(reading.get_quantity_display())
    place = reading.get_point_display() if reading.point else ""
    return f"{words}, {place.lower()}" if place else words


def value_words(value: float, quantity: str) -> str:
    return f"{display.number(value, 3)} {UNIT_OF_QUANTITY[quantity]}"


def latest_rows(rows: Sequence[JudgedReading]) -> list[list[Cell]]:
    return [
        [
            {"text": reading_words(row.reading)},
            {
                "text": value_words(row.reading.value, row.reading.quantity),
                "numeric": True,
                "alert": row.is_beyond,
            },
            {"text": display.date_time(row.reading.read_at)},
            {"text": _judged_words(row)},
            {"text": _level_words(row.level, row.reading.quantity)},
        ]
        for row in rows
    ]


def _judged_words(row: JudgedReading) -> str:
    words = []
    if row.is_beyond:
        words.append("Beyond its level")
    if row.zone:
        words.append(f"zone {row.zone}: {MEANINGS[VibrationZone(row.zone)]}")
    if words:
        return "; ".join(words)
    if row.reading.running_state != RunningState.RUNNING:
        return "Not judged: at rest"
    return "Within its level" if row.level else "Not judged: no level is set"


def _level_words(level: Level | None, quantity: str) -> str:
    if level is None:
        return "No level"
    ends = []
    if level.warn_above is not None:
        ends.append(f"above {value_words(level.warn_above, quantity)}")
    if level.warn_below is not None:
        ends.append(f"below {value_words(level.warn_below, quantity)}")
    return f"{' and '.join(ends)} ({level.source})"


def all_rows(rows: Sequence[Reading], *, may_strike: bool) -> list[list[Cell]]:
    return [_all_row(row, may_strike) for row in rows]


def _all_row(row: Reading, may_strike: bool) -> list[Cell]:
    remark: Cell = {"text": row.instrument}
    if row.struck_reason:
        remark = {"text": f"Struck. {row.struck_reason}"}
    elif may_strike:
        strike = reverse("records:reading_strike", args=[row.pk])
        remark = {"text": "Strike", "url": strike, "note": row.instrument}
    return [
        {"text": display.date_time(row.read_at)},
        {"text": reading_words(row)},
        {"text": value_words(row.value, row.quantity), "numeric": True},
        {"text": f"{row.entered_value} {row.entered_unit}", "numeric": True},
        {"text": str(row.pump or display.NO_VALUE)},
        {"text": str(row.entered_by or display.NO_VALUE)},
        {"text": row.get_running_state_display()},
        remark,
    ]


def export_row(row: Reading) -> list[object]:
    return [
        row.read_at.isoformat(),
        row.quantity,
        row.point,
        row.value,
        UNIT_OF_QUANTITY[row.quantity],
        row.entered_value,
        row.entered_unit,
        row.running_state,
        str(row.pump or ""),
        row.instrument,
        row.struck_reason,
    ]
