"""Components and costs of one repair as tables."""

from typing import Any

from django.urls import reverse

from plant import display
from plant.endings import ending_of
from plant.models import FittedLife
from records.choices import ChangeKind
from records.models import ComponentChange, CostLine, Repair
from records.selectors.cost_totals import totals_of_lines

Cell = dict[str, Any]
COMPONENT_COLUMNS = [
    {"label": "Place"},
    {"label": "What"},
    {"label": "Part"},
    {"label": "Serial"},
    {"label": "When"},
    {"label": "Found"},
    {"label": "How the life ended"},
]
COST_COLUMNS = [
    {"label": "Kind"},
    {"label": "Amount", "numeric": True},
    {"label": "Figure"},
    {"label": "Booked on"},
    {"label": "Note"},
    {"label": "Entered"},
    {"label": "Better figure"},
]


def component_rows(repair: Repair) -> list[list[Cell]]:
    """What left and what came; the ending follows from the facts recorded."""
    changes = repair.component_changes.select_related(
        "life__pump", "damaged_by"
    ).order_by("life__location", "-change")
    return [_component_row(repair, change) for change in changes]


def _component_row(repair: Repair, change: ComponentChange) -> list[Cell]:
    life = change.life
    if change.change == ChangeKind.IN:
        return [
            {"text": life.get_location_display()},
            {"text": f"Fitted, {life.get_condition_fitted_display().lower()}"},
            {"text": display.text(life.part), "note": life.piping_plan},
            {"text": display.text(life.serial)},
            {"text": display.date_time(life.fitted_at)},
            {"text": display.NO_VALUE},
            {"text": display.NO_VALUE},
        ]
    return [
        {"text": life.get_location_display()},
        {"text": "Taken out", "note": life.get_why_removed_display()},
        {"text": display.text(life.part), "note": life.piping_plan},
        {"text": display.text(life.serial)},
        {"text": display.date_time(life.removed_at)},
        {
            "text": display.text(life.get_condition_found_display()),
            "note": f"defect seen: {display.yes_no(life.defect_detected)}",
        },
        {"text": ending_in_words(life), "note": _damage_note(repair, change)},
    ]


def ending_in_words(life: FittedLife) -> str:
    return str(
        ending_of(
            removed_at=life.removed_at,
            started_at=life.started_at or life.fitted_at,
            ended_at=life.ended_at or life.removed_at,
            defect_detected=life.defect_detected,
            condition_found=life.condition_found,
            why_removed=life.why_removed,
        ).label
    )


def _damage_note(repair: Repair, change: ComponentChange) -> str:
    if change.damaged_by is None:
        return ""
    event = "this" if change.damaged_by_id == repair.pk else f"{change.damaged_by}"
    return f"damaged in {event} repair" if event == "this" else f"damaged in {event}"


def cost_rows(repair: Repair, may_replace: bool) -> list[list[Cell]]:
    """The whole ledger: standing lines first, replaced ones flagged."""
    lines = repair.cost_lines.select_related("replaced_by", "entered_by")
    rows = sorted(lines, key=lambda line: (hasattr(line, "replaced_by"), line.pk))
    return [_cost_row(line, may_replace) for line in rows]


def _cost_row(line: CostLine, may_replace: bool) -> list[Cell]:
    replaced = hasattr(line, "replaced_by")
    replace: Cell = {"text": display.NO_VALUE}
    if may_replace and not replaced:
        url = reverse("records:cost_replace", args=[line.repair_id, line.pk])
        replace = {"text": "Replace", "url": url}
    return [
        {"text": line.get_kind_display(), "flag": "replaced" if replaced else ""},
        {"text": display.money(line.amount, line.currency), "numeric": True},
        {"text": line.get_status_display()},
        {"text": display.date(line.booked_on)},
        {"text": display.text(line.note)},
        {
            "text": display.date_time(line.entered_at),
            "note": str(line.entered_by) if line.entered_by else "",
        },
        replace,
    ]


def cost_tiles(repair: Repair) -> list[dict[str, str]]:
    """Three sums that are never one: repair, lost production, environment."""
    totals = totals_of_lines(repair.cost_lines.standing())
    parts = {
        "Repair cost": "repair_cost",
        "Lost production": "lost_production",
        "Environment and safety": "environment_safety",
    }
    return [
        {
            "label": label,
            "value": ", ".join(
                display.money(getattr(total, part), total.currency)
                for total in totals
                if getattr(total, part)
            )
            or display.NO_VALUE,
        }
        for label, part in parts.items()
    ]
