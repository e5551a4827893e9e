"""What was read on tag and plate beside the pump, held against the register."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.db import models
from django.urls import reverse
from django.utils.http import urlencode

from plant.access import may
from plant.display import date as day
from plant.models import Position, Pump, User
from plant.selectors.pumps import pump_now_at, with_position
from records.choices import PlateCheck

if TYPE_CHECKING:
    from plant.selectors.pumps import ListedPump


class PlateRead(models.TextChoices):
    """What the form asks about the serial number; two of them are stored as such."""

    MATCHES = PlateCheck.READ, "Read: it matches"
    OTHER = "other", "Read: it is another one"
    NOT_READ = PlateCheck.NOT_READ, "Not read"


@dataclass(frozen=True, slots=True)
class Answer:
    """Whether it agrees (None: not read), why not in words, and what that leads to.

    `stored` goes into the repair; it is empty until register and plate agree.
    """

    agrees: bool | None
    sentence: str = ""
    url: str = ""
    label: str = ""
    stored: str = ""


READ = Answer(agrees=True, stored=PlateCheck.READ)
NOT_READ = Answer(
    agrees=None,
    sentence="The plate was not read: the repair is listed under data quality.",
    stored=PlateCheck.NOT_READ,
)


def register_in_words(position: Position, pump: Pump | None) -> str:
    """What the person beside the pump compares with."""
    if pump is None:
        return f"The register has no pump at {position.tag}."
    name = " ".join(filter(None, [pump.maker, pump.serial_number]))
    return f"The register has {name} at {position.tag}."


def tag_compared(*, user: User, position: Position, tag_read: str) -> Answer:
    """Whether the tag read is the position's own; blank means it was not read.

    P-101B for P-101A is the slip that matters most: the answer leads to the other one.
    """
    if not tag_read.strip():
        return Answer(agrees=None)
    if _plain(tag_read) == _plain(position.tag):
        return Answer(agrees=True)
    same_site = Position.objects.visible_to(user).filter(site=position.site_id)
    tags = same_site.values_list("pk", "tag")
    pk = next((pk for pk, tag in tags if _plain(tag) == _plain(tag_read)), None)
    if pk is None:
        sentence = (
            f"You read {tag_read.strip()}; this repair is about {position.tag}, and "
            f"{position.site} has no such tag. Look at the tag once more."
        )
        return Answer(agrees=False, sentence=sentence)
    other = same_site.get(pk=pk)
    return Answer(
        agrees=False,
        sentence=f"You stand at {other.tag}; this repair is about {position.tag}.",
        url=f"{reverse('records:repair_new')}?position={other.pk}",
        label=f"Log it at {other.tag}",
    )


def plate_compared(
    *, user: User, position: Position, check: str, serial_read: str = ""
) -> Answer:
    """Whether the plate carries the serial number that the register has there.

    Blanks, hyphens, dots, slashes and case do not matter. A known pump that stands
    elsewhere by the register leads to its move, an unknown one to its entry.
    """
    expected = pump_now_at(position.pk)
    if check == PlateRead.NOT_READ:
        return NOT_READ
    if check == PlateRead.MATCHES:
        return READ if expected else _nothing_to_match(position)
    if check != PlateRead.OTHER:
        return Answer(agrees=None, sentence="Say whether you read the plate.")
    if not _plain(serial_read):
        return Answer(agrees=None, sentence="Type the serial number on the plate.")
    if expected and _plain(serial_read) == _plain(expected.serial_number):
        return READ
    found = _pumps_with(user, serial_read)
    here = [pump for pump in found if pump.site_id == position.site_id]
    if len(here) == 1:
        return _other_pump(position, expected, here[0])
    if here:
        return _several(position, here)
    return _unknown(user, position, serial_read.strip(), found)


def _plain(serial: str) -> str:
    return "".join(letter for letter in serial if letter.isalnum()).casefold()


def _pumps_with(user: User, serial: str) -> "list[ListedPump]":
    """Makers number alike, so there may be several; at all sites of the user."""
    serials = Pump.objects.visible_to(user).values_list("pk", "serial_number")
    keys = [pk for pk, known in serials.iterator() if _plain(known) == _plain(serial)]
    pumps = with_position(Pump.objects.filter(pk__in=keys))
    return list(pumps.select_related("site").order_by("maker", "pk"))


def _nothing_to_match(position: Position) -> Answer:
    return Answer(
        agrees=False,
        sentence=f"The register has no pump at {position.tag}: there is nothing that "
        "the plate could match. Place the pump that stands here, with the serial "
        "number on its plate.",
        url=reverse("plant:position_place", args=[position.pk]),
        label=f"Place a pump at {position.tag}",
    )


def _other_pump(
    position: Position, expected: Pump | None, read: "ListedPump"
) -> Answer:
    if read.retired_on is not None:
        return Answer(
            agrees=False,
            sentence=f"{read.serial_number} is retired since {day(read.retired_on)} by "
            "the register. An engineer has to put that right before it is logged here.",
            url=read.get_absolute_url(),
            label=f"Look at {read.serial_number}",
        )
    where = f"at {read.position_tag}" if read.position_tag else "in the store"
    return Answer(
        agrees=False,
        sentence=f"{register_in_words(position, expected)} The plate says "
        f"{read.serial_number}, which the register has {where}. If it does stand "
        "here, log its move first; then the repair goes to the right pump.",
        url=reverse("plant:pump_move", args=[read.pk]),
        label=f"Move {read.serial_number} to {position.tag}",
    )


def _several(position: Position, found: "list[ListedPump]") -> Answer:
    serial = found[0].serial_number
    makers = " or ".join(pump.maker or "no maker named" for pump in found)
    return Answer(
        agrees=False,
        sentence=f"{len(found)} pumps of {position.site} carry the serial number "
        f"{serial} ({makers}). Read the maker too, open that pump and "
        "log its move.",
        url=f"{reverse('plant:pump_list')}?{urlencode({'text': serial})}",
        label="Show these pumps",
    )


def _unknown(
    user: User, position: Position, serial: str, elsewhere: "list[ListedPump]"
) -> Answer:
    if elsewhere:
        sentence = (
            f"{serial} belongs to {elsewhere[0].site} by the register, not to "
            f"{position.site}. An engineer has to enter it here."
        )
        return Answer(agrees=False, sentence=sentence)
    sentence = f"No pump with the serial number {serial} is registered."
    if may(user, "plant.change_register"):
        return Answer(
            agrees=False,
            sentence=f"{sentence} Enter it, then place it at {position.tag}.",
            url=reverse("plant:pump_new"),
            label="Enter a new pump",
        )
    return Answer(
        agrees=False,
        sentence=f"{sentence} Read it once more. If it is right, keep the repair as a "
        "draft and have an engineer enter the pump.",
    )
