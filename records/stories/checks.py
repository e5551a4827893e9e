"""Checks and findings of one repair, for its page."""

from typing import Any

from django.urls import reverse

from plant import display
from plant.access import may
from plant.models import User
from records.check_choices import CheckKind, CheckStage
from records.check_words import (
    limit_in_words,
    stiffness_of,
    unit_of_kind,
    value_in_words,
)
from records.choices import RepairState
from records.models import Repair, SettingCheck
from records.selectors.findings import are_findings_closed, are_findings_open
from records.teardown_patterns import PATTERN_BY_CODE

Cell = dict[str, Any]
Entry = dict[str, Any]
CHECK_COLUMNS = [
    {"label": "Check"},
    {"label": "As found"},
    {"label": "As left"},
    {"label": "Limit"},
    {"label": "Measured with"},
]
PATTERN_COLUMNS = [
    {"label": "Pattern"},
    {"label": "What it looks like"},
    {"label": "Note"},
]


def checks_story(repair: Repair, user: User) -> dict[str, Any]:
    """Context of the two sections, with the ways on that are open to the user."""
    return {
        "check_columns": CHECK_COLUMNS,
        "check_rows": check_rows(repair),
        "stiffness": _stiffness(repair),
        "checks_link": _checks_link(repair, user),
        "pattern_columns": PATTERN_COLUMNS,
        "pattern_rows": pattern_rows(repair),
        "findings_state": findings_state(repair),
        "findings_link": _findings_link(repair, user),
    }


def check_rows(repair: Repair) -> list[list[Cell]]:
    """One row a kind: both stages beside the limit that was shown."""
    kinds: dict[str, dict[str, SettingCheck]] = {}
    order = list(CheckKind)
    rows = sorted(repair.checks.all(), key=lambda row: order.index(CheckKind(row.kind)))
    for check in rows:
        kinds.setdefault(check.kind, {})[check.stage] = check
    return [_check_row(stages) for stages in kinds.values()]


def _check_row(stages: dict[str, SettingCheck]) -> list[Cell]:
    found, left = (stages.get(stage) for stage in (CheckStage.FOUND, CheckStage.LEFT))
    # As left when both are there: that limit was shown last.
    any_of = list(stages.values())[-1]
    unit = unit_of_kind(any_of.kind)
    tools = dict.fromkeys(row.instrument for row in stages.values() if row.instrument)
    return [
        {"text": any_of.get_kind_display()},
        _value_cell(found),
        _value_cell(left),
        {
            "text": limit_in_words(any_of.limit_low, any_of.limit_high, unit),
            "note": any_of.limit_source,
        },
        {"text": display.text(", ".join(tools))},
    ]


def _value_cell(check: SettingCheck | None) -> Cell:
    if check is None:
        return {"text": display.NO_VALUE}
    notes = [check.not_measured_reason, check.out_of_limit_reason]
    if check.value is not None and check.entered_unit != unit_of_kind(check.kind):
        notes.insert(0, f"typed as {check.entered_value} {check.entered_unit}")
    cell: Cell = {
        "text": value_in_words(check),
        "note": "; ".join(note for note in notes if note),
    }
    if check.is_out_of_limit:
        cell["flag"] = "out of limit"
        cell["alert"] = check.stage == CheckStage.LEFT
    return cell


def _stiffness(repair: Repair) -> Entry | None:
    stiffness = stiffness_of(repair.pump)
    if stiffness is None:
        return None
    above = ". Above the limit per mm" if stiffness.is_above_limit else ""
    return {
        "term": "Stiffness ratio of the shaft",
        "text": stiffness.text,
        "note": f"{stiffness.limit_text}{above}. Source: {stiffness.source}.",
    }


def _checks_link(repair: Repair, user: User) -> Entry | None:
    label = "Enter the checks" if repair.state == RepairState.DRAFT else ""
    if repair.is_signed and may(user, "records.correct_repair"):
        label = "Correct the checks"
    if not label or not may(user, "records.log_repair"):
        return None
    return {"label": label, "url": reverse("records:repair_checks", args=[repair.pk])}


def pattern_rows(repair: Repair) -> list[list[Cell]]:
    """What was seen; a code that the catalogue lost still shows itself."""
    rows = []
    for finding in repair.teardown_findings.all():
        pattern = PATTERN_BY_CODE.get(finding.pattern)
        rows.append(
            [
                {"text": pattern.title if pattern else finding.pattern},
                {"text": pattern.description if pattern else display.NO_VALUE},
                {"text": display.text(finding.note)},
            ]
        )
    return rows


def findings_state(repair: Repair) -> str:
    """Who stands for the findings, or that they are still open."""
    if repair.findings_signed_at is not None:
        who = repair.findings_signed_by or "somebody not recorded"
        return f"Signed by {who} on {display.date_time(repair.findings_signed_at)}."
    if repair.is_imported:
        return "Imported with the repair."
    if are_findings_open(repair):
        missing = [
            name for name in ("item", "mechanism", "cause") if not getattr(repair, name)
        ]
        still = f" Not yet known: {', '.join(missing)}." if missing else ""
        return f"Open: nobody has signed the findings yet.{still}"
    return "Not signed."


def _findings_link(repair: Repair, user: User) -> Entry | None:
    if repair.state == RepairState.VOID or not may(user, "records.log_repair"):
        return None
    label = "Enter the findings"
    if are_findings_closed(repair):
        if not may(user, "records.correct_repair"):
            return None
        label = "Correct the findings"
    return {"label": label, "url": reverse("records:repair_findings", args=[repair.pk])}
