"""What stands on one tag, in words, before anything is drawn."""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.urls import reverse

from plant.models import Position, Pump
from plant.tags.codes import TagCode, TagKind

if TYPE_CHECKING:
    from plant.selectors.positions import ListedPosition
    from plant.selectors.pumps import ListedPump

_SPARE_LETTER = re.compile(r"\d[\s-]?([A-Z])$", re.IGNORECASE)
ADDRESS_NAMES = {TagKind.POSITION: "plant:position_tag", TagKind.PUMP: "plant:pump_tag"}


@dataclass(frozen=True, slots=True)
class Label:
    """One tag; `letter` is the A or B of installed spares, empty without."""

    kind: TagKind
    name: str
    letter: str
    lines: tuple[str, ...]
    place: str
    code: str
    address: str


def spare_letter(tag: str) -> str:
    """The A of P-101A; empty where the tag does not end so."""
    match = _SPARE_LETTER.search(tag)
    return match[1].upper() if match else ""


def tag_path(of: Position | Pump) -> str:
    """The address on the tag, without the host."""
    code = code_of(of)
    return reverse(ADDRESS_NAMES[code.kind], args=[code.ending])


def code_of(of: Position | Pump) -> TagCode:
    kind = TagKind.POSITION if isinstance(of, Position) else TagKind.PUMP
    return TagCode(kind, of.pk)


def position_labels(
    positions: Iterable["ListedPosition"], absolute: Callable[[str], str]
) -> list[Label]:
    """`absolute` makes a whole address of a path, as the tablets reach it."""
    return [
        Label(
            kind=TagKind.POSITION,
            name=position.tag,
            letter=spare_letter(position.tag),
            lines=_given(position.service),
            place=f"{position.site.name}, {position.area.name}",
            code=str(code_of(position)),
            address=absolute(tag_path(position)),
        )
        for position in positions
    ]


def pump_labels(
    pumps: Iterable["ListedPump"], absolute: Callable[[str], str]
) -> list[Label]:
    return [
        Label(
            kind=TagKind.PUMP,
            name=pump.serial_number,
            letter="",
            lines=_given(pump.maker, " ".join(_given(pump.design, pump.size))),
            place=pump.site.name,
            code=str(code_of(pump)),
            address=absolute(tag_path(pump)),
        )
        for pump in pumps
    ]


def _given(*words: str) -> tuple[str, ...]:
    return tuple(word for word in words if word)
