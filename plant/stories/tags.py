"""Where a scanned tag leads: what it names, and the ways on from it."""

from dataclasses import dataclass
from typing import Any

from django.urls import reverse
from django.utils import timezone

from plant.access import may
from plant.display import date as day
from plant.hazards import hazards_in_words
from plant.models import Placement, Position, Pump, User
from plant.selectors.positions import is_in_service
from plant.selectors.pumps import pump_now_at
from plant.tags.labels import code_of, spare_letter

OUT_OF_SERVICE = "This position is not in service."
RETIRED = "This pump is retired since {}. Is this the right tag?"


@dataclass(frozen=True, slots=True)
class Way:
    """One big link of the page; the first of them is the likeliest."""

    label: str
    url: str
    note: str = ""


def position_tag_story(position: Position, *, user: User) -> dict[str, Any]:
    pump = pump_now_at(position.pk)
    stands = f"{pump.serial_number} stands here." if pump else "No pump is placed here."
    repair = f"{reverse('records:repair_new')}?position={position.pk}"
    hours = reverse("records:hours", args=[position.pk])
    ways = [Way("Log a repair here", repair, stands), Way("Running hours", hours)]
    own = ways if may(user, "records.log_repair") else []
    story = Way(f"All about {position.tag}", position.get_absolute_url())
    warning = "" if is_in_service(position, timezone.localdate()) else OUT_OF_SERVICE
    return {
        "kind": "Position tag",
        "title": position.tag,
        "letter": spare_letter(position.tag),
        "subtitle": _joined(position.service, position.liquid),
        "place": f"{position.area.name}, {position.site.name}",
        "code": str(code_of(position)),
        "caution": _caution(position),
        "warning": warning,
        "ways": [*own, story, _print_again(position)],
    }


def pump_tag_story(pump: Pump, *, user: User) -> dict[str, Any]:
    last = _last_placement(pump)
    own = _pump_ways(pump, last) if may(user, "records.log_repair") else []
    story = Way(f"All about {pump.serial_number}", pump.get_absolute_url())
    return {
        "kind": "Pump tag",
        "title": pump.serial_number,
        "subtitle": _joined(pump.maker, pump.design, pump.size),
        "place": f"{_where(pump, last)}, {pump.site.name}",
        "code": str(code_of(pump)),
        "caution": _caution(last.position) if last else "",
        "warning": RETIRED.format(day(pump.retired_on)) if pump.retired_on else "",
        "ways": [*own, story, _print_again(pump)],
    }


def _pump_ways(pump: Pump, last: Placement | None) -> list[Way]:
    if pump.retired_on is not None:
        return []
    move = Way("Log a move of this pump", reverse("plant:pump_move", args=[pump.pk]))
    if last is None:
        return [move]
    at = "at" if last.removed_at is None else "last at"
    note = f"The register has it {at} {last.position.tag}."
    repair = f"{reverse('records:repair_new')}?pump={pump.pk}"
    return [Way("Log a repair here", repair, note), move]


def _where(pump: Pump, last: Placement | None) -> str:
    if pump.retired_on is not None:
        return "Retired"
    stands = last is not None and last.removed_at is None
    return f"At {last.position.tag}" if last and stands else "In the store"


def _last_placement(pump: Pump) -> Placement | None:
    placements = pump.placements.select_related("position")
    return placements.order_by("-placed_at").first()


def _print_again(of: Position | Pump) -> Way:
    name = "position" if isinstance(of, Position) else "pump"
    url = reverse(f"plant:{name}_tags_file")
    return Way("Print this tag again", f"{url}?which=ticked&tick={of.pk}")


def _caution(position: Position) -> str:
    hazards = hazards_in_words(position.hazards)
    return f"{hazards.capitalize()}." if hazards else ""


def _joined(*words: str) -> str:
    return " · ".join(word for word in words if word)
