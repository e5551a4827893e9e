"""Matches of the search for a pump, each leading to its form."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.urls import reverse

from plant import display
from plant.tags.labels import spare_letter
from records.selectors.pump_search import LONG_AGO

if TYPE_CHECKING:
    from records.selectors.pump_search import Found, FoundPosition, StoredPump


@dataclass(frozen=True, slots=True)
class Match:
    """One big target; `drafts` are further links, to repairs begun there."""

    url: str
    name: str
    letter: str
    words: str
    place: str
    note: str
    drafts: list[dict[str, str]]


def position_matches(found: "Found") -> list[Match]:
    new = reverse("records:repair_new")
    return [
        Match(
            url=f"{new}?position={position.pk}",
            name=position.tag,
            letter=spare_letter(position.tag),
            words=position.service,
            place=f"{position.area.name}, {position.site.name}",
            note=_note(position, is_own=position.pk in found.own),
            drafts=_drafts(position),
        )
        for position in found.positions
    ]


def pump_matches(pumps: Iterable["StoredPump"]) -> list[Match]:
    """Pumps of the store; one that never stood anywhere has to be placed first."""
    return [
        Match(
            url=_stored_url(pump),
            name=pump.serial_number,
            letter="",
            words=pump.maker,
            place=f"In the store, {pump.site.name}",
            note=f"Stood last at {pump.last_tag}"
            if pump.last_tag
            else "Never stood at a position: place it first",
            drafts=[],
        )
        for pump in pumps
    ]


def _stored_url(pump: "StoredPump") -> str:
    if pump.last_tag:
        return f"{reverse('records:repair_new')}?pump={pump.pk}"
    return reverse("plant:pump_move", args=[pump.pk])


def _note(position: "FoundPosition", *, is_own: bool) -> str:
    """The pump there and the last repair; whose work it was."""
    pump = position.pump_serial
    last = position.last_reported
    parts = [f"Pump {pump}" if pump else "No pump placed"]
    if last > LONG_AGO:
        parts.append(f"last repair {display.date(last)}")
    if is_own:
        parts.append("you worked here")
    return " · ".join(parts)


def _drafts(position: "FoundPosition") -> list[dict[str, str]]:
    drafts = position.open_drafts
    return [
        {
            "label": f"Go on with draft {draft.number} of "
            f"{display.date(draft.reported_at)}",
            "url": reverse("records:repair_edit", args=[draft.pk]),
        }
        for draft in drafts
    ]
