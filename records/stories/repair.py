"""The whole story of one repair, for its page."""

from datetime import timedelta
from typing import Any

from django.urls import reverse

from plant import display
from plant.access import may
from plant.models import User
from records.choices import RepairState
from records.elapsed import down_in_words, rework_in_words, since_in_words
from records.models import Repair
from records.selectors.repairs import (
    is_rework,
    repair_is_own_draft,
    with_earlier_repair,
)
from records.selectors.tablet_entries import entries_of
from records.services.repair_checks import missing_to_sign
from records.stories.checks import checks_story
from records.stories.entry_question import question_url
from records.stories.photos import photos_shown, photos_withdrawn
from records.stories.pump_change import pump_change_story
from records.stories.repair_history import (
    items_in_words,
    label_of,
    repair_history,
)
from records.stories.repair_parts import (
    COMPONENT_COLUMNS,
    COST_COLUMNS,
    component_rows,
    cost_rows,
    cost_tiles,
)

Entry = dict[str, Any]


def repair_story(repair: Repair, user: User) -> dict[str, Any]:
    """Context of the page; costs only for those who may see them."""
    see_costs = may(user, "records.see_costs")
    is_void = repair.state == RepairState.VOID
    may_log = may(user, "records.log_repair") and not is_void
    change = pump_change_story(repair)
    story: dict[str, Any] = {
        "repair": repair,
        "actions": repair_actions(repair, user),
        "notices": [*_notices(repair), *change["notices"]],
        "when": _when(repair),
        "noticed": _noticed(repair),
        "done": [*change["facts"], *_done(repair)],
        "references": _references(repair),
        "component_columns": COMPONENT_COLUMNS,
        "component_rows": component_rows(repair),
        "shop_work": repair.shop_work.exclude(state=RepairState.VOID),
        "history": repair_history(repair, change["events"]),
        "see_costs": see_costs,
        **checks_story(repair, user),
        "photos": photos_shown(repair, user),
        "photos_withdrawn": photos_withdrawn(repair),
    }
    if see_costs:
        story["cost_columns"] = COST_COLUMNS
        story["cost_rows"] = cost_rows(repair, may_log)
        story["cost_tiles"] = cost_tiles(repair)
    return story


def repair_actions(repair: Repair, user: User) -> list[Entry]:
    """The ways on that the user's role and the repair's state leave open."""
    may_log = may(user, "records.log_repair")
    is_draft = repair.state == RepairState.DRAFT
    is_void = repair.state == RepairState.VOID
    offers = [
        ("Sign", "records:repair_sign", may_log and is_draft),
        ("Edit the draft", "records:repair_edit", may_log and is_draft),
        (
            "Correct",
            "records:repair_correct",
            may(user, "records.correct_repair") and repair.is_signed,
        ),
        (
            "Add a cost",
            "records:cost_new",
            may_log and not is_void and may(user, "records.see_costs"),
        ),
        ("Add photos", "records:repair_photos", may_log and not is_void),
        (
            "Void",
            "records:repair_void",
            may(user, "records.void_repair") and repair.is_signed,
        ),
        (
            "Drop this draft",
            "records:repair_drop",
            is_draft
            and may_log
            and (may(user, "records.void_repair") or repair_is_own_draft(repair, user)),
        ),
    ]
    return [
        {
            "label": label,
            "url": reverse(name, args=[repair.pk]),
            "primary": label == "Sign",
        }
        for label, name, offered in offers
        if offered
    ]


def _notices(repair: Repair) -> list[Entry]:
    notices: list[Entry] = []
    if repair.state == RepairState.VOID:
        notices.append({"kind": "warning", "text": f"Void: {repair.void_reason}"})
    elif repair.state == RepairState.DRAFT:
        missing = missing_to_sign(repair)
        text = "A draft: counted, but not signed yet."
        if missing:
            names = ", ".join(label_of(name) for name in missing)
            text += f" Before signing it needs: {names}."
        notices.append({"kind": "info", "text": text})
    elif repair.stopped_at and not repair.returned_at:
        notices.append({"kind": "warning", "text": "Not handed back yet."})
    return notices


def rework_of(repair: Repair) -> Entry | None:
    """The earlier repair of the same pump when this one came within the window."""
    row = with_earlier_repair(
        Repair.objects.filter(pk=repair.pk).select_related("site")
    ).get()
    if row.earlier_pk is None:
        return None
    earlier = Repair.objects.get(pk=row.earlier_pk)
    since = row.since_earlier or timedelta()
    text = f"{since_in_words(since)} after the last repair of this pump"
    if is_rework(row):
        text = rework_in_words(since, same_item=earlier.item == repair.item)
    return {"text": text, "url": earlier.get_absolute_url(), "number": earlier.number}


def _when(repair: Repair) -> list[Entry]:
    rework = rework_of(repair)
    entries: list[Entry] = [
        {
            "term": "Position",
            "text": repair.position.tag,
            "url": repair.position.get_absolute_url(),
            "note": repair.position.service,
        },
        {
            "term": "Pump",
            "text": repair.pump.serial_number if repair.pump else "Not known",
            "url": repair.pump.get_absolute_url() if repair.pump else "",
        },
        {"term": "Reported", "text": display.date_time(repair.reported_at)},
        {"term": "Stopped", "text": display.date_time(repair.stopped_at)},
        {"term": "Handed back", "text": display.date_time(repair.returned_at)},
        {"term": "Down", "text": down_in_words(repair)},
    ]
    if rework:
        entries.append({"term": "Last repair", **rework, "text": rework["number"],
                        "note": rework["text"]})  # fmt: skip
    if repair.shop_work_of:
        entries.append(
            {
                "term": "Shop work of",
                "text": repair.shop_work_of.number,
                "url": repair.shop_work_of.get_absolute_url(),
                "note": "not counted again",
            }
        )
    if repair.signed_at:
        entries.append(
            {
                "term": "Signed",
                "text": f"{repair.signed_by or 'not recorded'}",
                "note": display.date_time(repair.signed_at),
            }
        )
    return [*entries, *_from_tablets(repair)]


def _from_tablets(repair: Repair) -> list[Entry]:
    """Who sent it from beside the pump, and who answered what it asked."""
    return [
        {
            "term": "Sent from a tablet",
            "text": str(entry.sent_by),
            "note": display.date_time(entry.received_at),
        }
        | ({"url": question_url(entry)} if entry.answer else {})
        for entry in entries_of(repair)
    ]


def _choice(repair: Repair, name: str, with_code: bool = False) -> str:
    code = getattr(repair, name)
    label = getattr(repair, f"get_{name}_display")()
    return f"{code}, {label}" if code and with_code else display.text(label)


def _noticed(repair: Repair) -> list[Entry]:
    return [
        {"term": "Why the work was done", "text": _choice(repair, "category")},
        {"term": "How it was noticed", "text": _choice(repair, "detection")},
        {"term": "The pump was", "text": _choice(repair, "operating_state")},
        {"term": "Failure mode", "text": _choice(repair, "failure_mode", True)},
        {"term": "Impact", "text": _choice(repair, "impact")},
        {"term": "What escaped", "text": _choice(repair, "release")},
        {
            "term": "Failed item",
            "text": _choice(repair, "item"),
            "note": repair.subunit.label if repair.item else "",
        },
        {"term": "Mechanism", "text": _choice(repair, "mechanism", True)},
        {"term": "Cause", "text": _choice(repair, "cause", True)},
    ]


def _done(repair: Repair) -> list[Entry]:
    return [
        {"term": "What was done", "text": _choice(repair, "activity")},
        {"term": "Also renewed", "text": items_in_words(repair.also_renewed)},
        {"term": "Work took", "text": display.hours(repair.active_hours)},
        {"term": "Waiting took", "text": display.hours(repair.delay_hours)},
        {"term": "Man-hours", "text": display.hours(repair.man_hours)},
    ]


def _references(repair: Repair) -> list[Entry]:
    return [
        {"term": "Serial on the plate", "text": _choice(repair, "plate_check")},
        {"term": "Permit", "text": display.text(repair.permit_reference)},
        {"term": "Isolation", "text": display.text(repair.isolation_reference)},
        {
            "term": "Decontamination",
            "text": display.text(repair.decontamination_reference),
        },
    ]
