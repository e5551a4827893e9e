"""Imports as the tables and sentences that the pages show."""

from collections.abc import Iterable, Sequence
from datetime import timedelta
from typing import Any

from django.urls import reverse
from django.utils import timezone

from plant import display
from plant.listing import Column
from plant.models import Job
from records.importing.blank_sheets import allowed_words
from records.importing.columns import Sheet
from records.importing.report import FAULTS_KEPT
from records.models import FleetImport

UNDER_WAY = (FleetImport.State.CHECKING, FleetImport.State.STORING)
LONGEST_SILENCE = timedelta(minutes=3)
# Storing is one transaction, from which nobody hears; this many rows a second are a
# tenth of what a small server writes.
SLOWEST_ROWS_A_SECOND = 400
OUTCOMES = ("new", "changed", "unchanged")
LIST_COLUMNS = [
    Column("Asked", "asked", ("asked_at",)),
    Column("State", "state", ("state",)),
    Column("By", "by", ("asked_by__username",)),
    Column("Files"),
    Column("Faults", "faults", ("fault_count",), numeric=True),
]
SUMMARY_COLUMNS = [
    {"label": "Sheet"},
    {"label": "Rows", "numeric": True},
    {"label": "New", "numeric": True},
    {"label": "Changed", "numeric": True},
    {"label": "Unchanged", "numeric": True},
]
SAMPLE_COLUMNS = [
    {"label": "Sheet and row"},
    {"label": "What"},
    {"label": "Outcome"},
    {"label": "Change"},
]
FAULT_COLUMNS = [
    {"label": "Where"},
    {"label": "Value"},
    {"label": "What would be right"},
]
FAULT_HEADING = ("Sheet", "Row", "Column", "Value", "What would be right")
TALLY_COLUMNS = [
    {"label": "Sheet"},
    {"label": "Column"},
    {"label": "Faults", "numeric": True},
]
HELP_COLUMNS = [
    {"label": "Column"},
    {"label": "Meaning"},
    {"label": "Value"},
    {"label": "Allowed words"},
]
Cells = list[dict[str, Any]]


def list_cells(rows: Iterable[FleetImport]) -> list[Cells]:
    return [
        [
            {
                "text": display.date_time(row.asked_at),
                "url": reverse("records:import_detail", args=[row.pk]),
            },
            {"text": row.get_state_display()},
            {"text": display.text(row.asked_by)},
            {"text": file_names(row)},
            {"text": display.number(row.fault_count), "numeric": True},
        ]
        for row in rows
    ]


def export_row(row: FleetImport) -> list[Any]:
    return [
        display.date_time(row.asked_at),
        row.get_state_display(),
        str(row.asked_by or ""),
        file_names(row),
        row.fault_count,
    ]


def file_names(row: FleetImport) -> str:
    """Names as they are kept in the summary: the files go once they are stored."""
    return display.text(", ".join(row.summary.get("files", [])))


def summary_cells(kept: FleetImport) -> list[Cells]:
    return [
        [
            {"text": sheet},
            {"text": display.number(counts["rows"]), "numeric": True},
            *({"text": display.number(counts[o]), "numeric": True} for o in OUTCOMES),
        ]
        for sheet, counts in kept.summary.get("sheets", {}).items()
    ]


def sample_cells(kept: FleetImport) -> list[Cells]:
    return [
        [
            {"text": f"{sheet}, row {sample['row']}"},
            {"text": sample["name"]},
            {"text": sample["outcome"]},
            {"text": display.text(sample["what"])},
        ]
        for sheet, counts in kept.summary.get("sheets", {}).items()
        for sample in counts["samples"]
    ]


def fault_cells(faults: Sequence[dict[str, Any]]) -> list[Cells]:
    return [
        [
            {"text": _place(fault), "note": fault["column"]},
            {"text": display.text(fault["value"])},
            {"text": fault["right"]},
        ]
        for fault in faults
    ]


def _place(fault: dict[str, Any]) -> str:
    sheet = fault["sheet"] or "the files"
    return f"{sheet}, row {fault['row']}" if fault["row"] else sheet


def tally_cells(kept: FleetImport) -> list[Cells]:
    return [
        [
            {"text": display.text(sheet)},
            {"text": display.text(column)},
            {"text": display.number(count), "numeric": True},
        ]
        for sheet, column, count in kept.summary.get("tally", [])
    ]


def help_cells(sheet: Sheet) -> list[Cells]:
    return [
        [
            {
                "text": column.name,
                "flag": "must be filled" if column.required else "",
            },
            {"text": column.meaning},
            {"text": column.kind.value, "note": column.unit},
            {"text": display.text(allowed_words(column))},
        ]
        for column in sheet.columns
    ]


def faults_sentence(kept: FleetImport) -> str:
    """How many faults there are and how many of them are listed."""
    many = kept.fault_count > FAULTS_KEPT
    shown = f" The first {FAULTS_KEPT:,} are listed." if many else ""
    return (
        f"{display.count(kept.fault_count, 'fault')}: nothing was stored. Mend the "
        f"files and send them again.{shown}"
    )


def changes_anything(kept: FleetImport) -> bool:
    sheets = kept.summary.get("sheets", {}).values()
    return any(counts["new"] or counts["changed"] for counts in sheets)


def is_interrupted(kept: FleetImport) -> bool:
    """Whether work on it began and nothing was heard of it for long."""
    if kept.state not in UNDER_WAY or kept.job is None:
        return False
    silence = timezone.now() - kept.job.changed_at
    storing = timedelta(seconds=(kept.job.total or 0) / SLOWEST_ROWS_A_SECOND)
    return silence > LONGEST_SILENCE + storing


def percent_of(job: Job | None) -> int | None:
    """How far the job is; None while that is not known."""
    # Nobody hears how much is done while a transaction writes.
    if job is None or not (job.done and job.total) or job.state != Job.State.RUNNING:
        return None
    return min(100, round(100 * job.done / job.total))


def progress_sentence(kept: FleetImport) -> str:
    """What is going on, for the line under the bar."""
    job = kept.job
    if job is None or job.state == Job.State.WAITING:
        return (
            "Waiting for the background worker to take it up. If this lasts, the "
            "worker is not running: tell the administrator of the server."
        )
    if kept.state == FleetImport.State.STORING:
        return (
            "Being stored, all at once: about a minute for a hundred thousand rows. "
            "Until it is finished nobody sees a part of it."
        )
    if job.total:
        return f"{job.message}: {job.done:,} of {job.total:,} rows."
    return "Reading the files."
