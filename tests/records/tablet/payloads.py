"""Entries as a tablet sends them, about the plant of plant_at_hand."""

import json
from copy import deepcopy
from uuid import uuid4

from django.urls import reverse

from records.models import TabletEntry

SEAL_PLACE = "seal single inner"
SEAL_FITTED = {
    "component": "seal",
    "location": SEAL_PLACE,
    "condition_fitted": "new",
    "part_number": "PART-8",
    "faces": "silicon carbide / silicon carbide",
    "arrangement": "1",
}
RUNOUT_LEFT = {
    "kind": "shaft runout",
    "stage": "left",
    "entered_value": "0,03",
    "entered_unit": "mm",
}


NOTICED = {
    "reported_at": "2024-03-01T08:00",
    "stopped_at": "2024-03-01T10:00",
    "category": "corrective",
    "failure_mode": "ELP",
    "impact": "degraded",
    "detection": "8",
    "operating_state": "running",
    "release": "contained",
}
FOUND = {"item": "mechanical seal", "patterns": [], "mechanism": "", "cause": ""}
HOURS = {
    "returned_at": "2024-03-02T15:00",
    "active_hours": "6,5",
    "delay_hours": "",
    "man_hours": "13",
    "meter_hours": "",
    "is_new_meter": False,
}
SEAL_OUT = {
    "defect_detected": True,
    "condition_found": "reject",
    "why_removed": "defect",
}


def seal_swap(here, user, **changes):
    """A signed swap of the seal; `changes` are laid over it, section by section."""
    payload = {
        "key": str(uuid4()),
        "user_id": user.pk,
        "made_at": "2024-03-02T16:00:00.000Z",
        "register_made_at": "2024-03-01T06:00:00+00:00",
        "sign": True,
        "findings_signed": False,
        "position": here.position.pk,
        "pump": here.pump.pk,
        "plate": {"check": "read", "serial_read": ""},
        "noticed": NOTICED,
        "found": FOUND,
        "done": {
            "activity": "1",
            "also_renewed": ["oil"],
            "out": [{"life": here.seal.pk, **SEAL_OUT}],
            "in": [SEAL_FITTED],
            "swap_to_pump": None,
        },
        "checks": [],
        "hours": HOURS,
        "costs": [],
        "text": "Dry running marks.",
        "references": {"permit_reference": "PTW 7"},
        "photos": [],
        "as_is": [],
        "save_anyway": False,
    }
    return laid_over(payload, changes)


def laid_over(payload, changes):
    merged = deepcopy(payload)
    for name, value in changes.items():
        inner = merged.get(name)
        both = isinstance(value, dict) and isinstance(inner, dict)
        merged[name] = laid_over(inner, value) if both else deepcopy(value)
    return merged


def send(client, payload, **headers):
    return client.post(
        reverse("records:tablet_entries"),
        json.dumps(payload),
        content_type="application/json",
        **headers,
    )


def errors_of(answer):
    """The refused fields with their sentences."""
    assert answer.status_code == 422, answer.content
    return {error["field"]: error["text"] for error in answer.json()["errors"]}


def question_of(answer):
    assert answer.status_code == 409, answer.content
    body = answer.json()
    assert body["state"] == "question"
    entry = TabletEntry.objects.get(key=body["key"])
    assert body["question_url"] == reverse("records:entry_question", args=[entry.pk])
    return entry


def answered(client, entry, answer, **more):
    url = reverse("records:entry_question", args=[entry.pk])
    response = client.post(url, {"answer": answer, **more})
    entry.refresh_from_db()
    return response
