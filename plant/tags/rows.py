"""What the page of tags says about each row: what to tick and what it names."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from plant.tables.pumps import where_in_words
from plant.tags.labels import code_of

if TYPE_CHECKING:
    from plant.selectors.positions import ListedPosition
    from plant.selectors.pumps import ListedPump


@dataclass(frozen=True, slots=True)
class TickRow:
    pk: int
    name: str
    words: str
    place: str
    code: str


def position_ticks(positions: Iterable["ListedPosition"]) -> list[TickRow]:
    return [
        TickRow(
            pk=position.pk,
            name=position.tag,
            words=position.service,
            place=f"{position.area.name}, {position.site.name}",
            code=str(code_of(position)),
        )
        for position in positions
    ]


def pump_ticks(pumps: Iterable["ListedPump"]) -> list[TickRow]:
    return [
        TickRow(
            pk=pump.pk,
            name=pump.serial_number,
            words=" ".join(filter(None, [pump.maker, pump.design, pump.size])),
            place=f"{where_in_words(pump)}, {pump.site.name}",
            code=str(code_of(pump)),
        )
        for pump in pumps
    ]
