"""The body of a request from a tablet: JSON of the shape agreed, and its digest."""

import hashlib
import json
from collections.abc import Iterator
from typing import Any
from uuid import UUID

from records.tablet.faults import FACTS_OF_STEP, Fault, Refused

MOST_BYTES = 256 * 1024
MOST_ROWS = 60

TEXT, FLAG, KEY = "text", "yes or no", "whole number"
_FLAGS = ("is_new_meter",)
_LISTS = ("also_renewed",)
IN_DETAILS = (
    "part_number",
    "serial",
    "piping_plan",
    "faces",
    "arrangement",
    "kind",
    "flexible_element",
    "secondary_seal",
    "designation",
    "lubrication",
    "bearing_arrangement",
)
OUT_ROW = {
    "life": KEY,
    "defect_detected": FLAG,
    "condition_found": TEXT,
    "why_removed": TEXT,
}
CHECK_NAMES = (
    "kind",
    "stage",
    "entered_value",
    "entered_unit",
    "not_measured_reason",
    "out_of_limit_reason",
    "instrument",
    "rotor_mass_kg",
)


def _texts(*names: str) -> dict[str, Any]:
    return dict.fromkeys(names, TEXT)


def _facts(step: str) -> dict[str, Any]:
    special = dict.fromkeys(_FLAGS, FLAG) | {name: [TEXT] for name in _LISTS}
    return {name: special.get(name, TEXT) for name in FACTS_OF_STEP[step]}


SHAPE: dict[str, Any] = {
    **_texts("key", "made_at", "register_made_at", "text"),
    "user_id": KEY,
    "sign": FLAG,
    "findings_signed": FLAG,
    "save_anyway": FLAG,
    "position": KEY,
    "pump": KEY,
    "plate": _texts("check", "serial_read"),
    "noticed": _facts("noticed"),
    "found": {**_facts("found"), "patterns": [_texts("code", "note")]},
    "done": {
        **_facts("done"),
        "out": [OUT_ROW],
        "in": [_texts("component", "location", "condition_fitted", *IN_DETAILS)],
        "swap_to_pump": KEY,
    },
    "checks": [_texts(*CHECK_NAMES)],
    "hours": _facts("hours"),
    "costs": [_texts("kind", "amount", "currency", "status")],
    "references": _facts("references"),
    "photos": [_texts("key", "caption")],
    "as_is": [TEXT],
}


class NotReadable(Exception):
    """No JSON, or no key: nothing that could be answered field by field."""


def body_read(body: bytes) -> dict[str, Any]:
    """The payload as it was sent.

    Raises
    ------
    NotReadable
        When it is no JSON object, or holds what no database stores.
    """
    try:
        payload = json.loads(body, parse_constant=_no_number)
        text = canonical(payload)
        text.encode()
    except (ValueError, RecursionError) as error:
        raise NotReadable("This is not JSON.") from error
    if not isinstance(payload, dict):
        raise NotReadable("A JSON object is expected.")
    if "\\u0000" in json.dumps(payload):
        raise NotReadable("The text holds a character that cannot be stored.")
    return payload


def _no_number(word: str) -> None:
    raise ValueError(f"{word} is no number of JSON.")


def key_read(payload: dict[str, Any]) -> UUID:
    """The key that the tablet made."""
    try:
        return UUID(str(payload.get("key")))
    except ValueError as error:
        raise NotReadable("The key is not a UUID.") from error


def canonical(payload: Any) -> str:
    """One text for the same content, however it was written."""
    return json.dumps(
        payload,
        sort_keys=True,
        separators=(",", ":"),
        ensure_ascii=False,
        allow_nan=False,
    )


def digest(payload: dict[str, Any]) -> str:
    return hashlib.sha256(canonical(payload).encode()).hexdigest()


def shaped(payload: dict[str, Any]) -> dict[str, Any]:
    """The payload with every field of the form, each of its kind.

    Raises
    ------
    Refused
        With every field of another kind, and every one that the form does not have.
    """
    faults: list[Fault] = []
    whole: dict[str, Any] = _shape(payload, SHAPE, "", faults)
    if faults:
        raise Refused(faults)
    return whole


def _shape(value: Any, shape: Any, path: str, faults: list[Fault]) -> Any:
    if isinstance(shape, dict):
        return _shape_section(value, shape, path, faults)
    if isinstance(shape, list):
        return _shape_rows(value, shape[0], path, faults)
    if not _fits(value, shape):
        faults.append(Fault(path, f"This is not a {shape}."))
    if shape == TEXT:
        return "" if value is None else str(value).strip()
    return value


def _fits(value: Any, kind: str) -> bool:
    if value is None:
        return True
    if kind == FLAG:
        return isinstance(value, bool)
    if isinstance(value, bool):
        return False
    if kind == KEY:
        return isinstance(value, int) and 0 < value < 2**63
    return isinstance(value, str | int | float)


def _shape_section(
    value: Any, shape: dict[str, Any], path: str, faults: list[Fault]
) -> dict[str, Any]:
    if not isinstance(value, dict | None):
        faults.append(Fault(path, "Fields are expected here."))
        value = None
    given = value or {}
    faults.extend(_unknown(given, shape, path))
    return {
        name: _shape(given.get(name), inner, _below(path, name), faults)
        for name, inner in shape.items()
    }


def _shape_rows(value: Any, shape: Any, path: str, faults: list[Fault]) -> list[Any]:
    if not isinstance(value, list | None):
        faults.append(Fault(path, "A list is expected here."))
        return []
    if len(value or []) > MOST_ROWS:
        faults.append(Fault(path, f"No more than {MOST_ROWS} rows."))
        return []
    return [
        _shape(row, shape, f"{path}.{index}", faults)
        for index, row in enumerate(value or [])
    ]


def _unknown(
    given: dict[str, Any], shape: dict[str, Any], path: str
) -> Iterator[Fault]:
    for name in given:
        if name not in shape:
            # Storing the rest would drop what was typed without a word.
            yield Fault(
                _below(path, str(name)[:60]),
                "The logbook does not know this field: load the form again.",
            )


def _below(path: str, name: str) -> str:
    return f"{path}.{name}" if path else name
