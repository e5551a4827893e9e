"""What stands around the fields of a repair form."""

from datetime import timedelta
from typing import Any

from django import forms
from django.urls import reverse
from django.utils import timezone

from plant import display
from plant.hazards import hazards_in_words
from records.elapsed import since_in_words
from records.forms.repair_entry import RepairEntry
from records.models import Repair
from records.selectors.repairs import earlier_ones, last_repairs
from records.stories.form_errors import faults_of

SECTIONS = (
    ("When", ("reported_at", "stopped_at", "returned_at")),
    (
        "What was noticed",
        (
            "category",
            "detection",
            "operating_state",
            "failure_mode",
            "impact",
            "release",
        ),
    ),
    ("What was found", ("item", "mechanism", "cause")),
    ("What was done", ("activity", "active_hours", "delay_hours", "man_hours")),
)
LAST_COLUMNS = [
    {"label": "Number"},
    {"label": "Reported"},
    {"label": "Failed item"},
    {"label": "Failure mode"},
]
REFERENCES = ("permit_reference", "isolation_reference", "decontamination_reference")
METER = ("meter_hours", "is_new_meter")


def form_context(entry: RepairEntry) -> dict[str, Any]:
    position, repair = entry.position, entry.repair
    hazards = hazards_in_words(position.hazards)
    return {
        "entry": entry,
        "form": entry.form,
        "faults": faults_of(entry),
        "title": _title(entry),
        "subtitle": _subtitle(entry),
        "steps": _steps(entry),
        "caution": f"{hazards.capitalize()}." if hazards else "",
        "is_correction": entry.is_correction,
        "sections": [
            (heading, _fields(entry.form, names)) for heading, names in SECTIONS
        ],
        "meter": _fields(entry.form, METER),
        "references": _fields(entry.form, REFERENCES),
        "number": _fields(entry.form, ("number", "shop_work_of")),
        "reason": _fields(entry.form, ("reason",)),
        "last_columns": LAST_COLUMNS,
        "last_rows": _last_rows(entry),
        "since_last": _since_last(entry),
        "cancel_url": (
            repair.get_absolute_url() if repair else position.get_absolute_url()
        ),
    }


def _fields(form: forms.Form, names: tuple[str, ...]) -> list[forms.BoundField]:
    return [form[name] for name in names if name in form.fields]


def _title(entry: RepairEntry) -> str:
    if entry.repair is None:
        return f"Log a repair of {entry.position.tag}"
    verb = "Correct" if entry.is_correction else "Edit"
    return f"{verb} {entry.repair.number}"


def _subtitle(entry: RepairEntry) -> str:
    pump = f"Pump {entry.pump.serial_number}" if entry.pump else "No pump recorded"
    words = [
        f"{entry.position.tag}, {entry.position.service}".rstrip(", "),
        pump,
        f"times of {entry.position.site} ({entry.position.site.time_zone})",
    ]
    return " · ".join(words)


def _steps(entry: RepairEntry) -> list[dict[str, str]]:
    steps = [
        {"label": "Repairs", "url": reverse("records:repair_list")},
        {"label": entry.position.tag, "url": entry.position.get_absolute_url()},
    ]
    if entry.repair is not None:
        steps.append(
            {"label": entry.repair.number, "url": entry.repair.get_absolute_url()}
        )
    return steps


def _earlier(entry: RepairEntry) -> list[Repair]:
    """The last repairs; on a record those that came before it."""
    before = entry.repair.reported_at if entry.repair else None
    if entry.pump:
        return last_repairs(pump=entry.pump, before=before)
    return last_repairs(position=entry.position, before=before)


def _last_rows(entry: RepairEntry) -> list[list[dict[str, Any]]]:
    return [
        [
            {"text": row.number, "url": row.get_absolute_url()},
            {"text": display.date_time(row.reported_at), "note": f"at {row.position}"},
            {"text": display.text(row.get_item_display())},
            {"text": display.text(row.get_failure_mode_display())},
        ]
        for row in _earlier(entry)
    ]


def _since_last(entry: RepairEntry) -> str:
    rows = earlier_ones()
    rows = (
        rows.filter(pump=entry.pump)
        if entry.pump
        else rows.filter(position=entry.position)
    )
    if entry.repair:
        rows = rows.filter(reported_at__lt=entry.repair.reported_at)
    last = rows.first()
    if last is None:
        return ""
    until = entry.repair.reported_at if entry.repair else timezone.now()
    since = until - last.over_at
    if since < timedelta():
        return "Reported before the last repair was handed back."
    at = "at this report" if entry.repair else "now"
    return f"{since_in_words(since)} since the last repair, {at}."
