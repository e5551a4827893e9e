"""Every fault of a repair form in one list, each with a link to its field."""

from collections.abc import Iterator
from typing import Any

from django import forms

from records.forms.repair_entry import RepairEntry

Fault = dict[str, str]


def faults_of(entry: RepairEntry) -> list[Fault]:
    """Faults of the facts first, then of components and costs, in page order."""
    faults = list(_faults(entry.form, ""))
    for form in entry.swaps:
        faults += _faults(form, form.place)
    for name, rows in (("Added component", entry.added), ("Cost line", entry.costs)):
        for index, form in enumerate(rows or [], start=1):
            faults += _faults(form, f"{name} {index}")
    return faults


def _faults(form: forms.Form, row: str) -> Iterator[Fault]:
    if not form.is_bound:
        return
    for message in form.non_field_errors():
        yield {"label": row, "url": "", "text": str(message)}
    for bound in form:
        for message in bound.errors:
            yield {
                "label": ", ".join(word for word in (row, str(bound.label)) if word),
                "url": _link(bound),
                "text": str(message),
            }


def _link(bound: Any) -> str:
    return "" if bound.is_hidden else f"#{bound.id_for_label or bound.auto_id}"
