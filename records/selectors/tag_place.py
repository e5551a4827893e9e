"""Which position or pump a scanned tag is about, as the repair form asks for it."""

from django.core.exceptions import ValidationError

from plant.display import date as day
from plant.models import Position, Pump, User
from plant.tags.codes import TagCode, TagKind
from records.selectors.repairs import last_position_of


def repair_place_of(*, user: User, tag: TagCode) -> tuple[str, int]:
    """Name and key for the form's address: ("position", 117) or ("pump", 45).

    Raises
    ------
    ValidationError
        With a sentence, when the tag is of no row that the user sees, or of a pump at
        which no repair can be logged.
    """
    if tag.kind is TagKind.POSITION:
        if not Position.objects.visible_to(user).filter(pk=tag.pk).exists():
            raise ValidationError(f"No position of your sites has the code {tag}.")
        return "position", tag.pk
    pump = Pump.objects.visible_to(user).filter(pk=tag.pk).first()
    if pump is None:
        raise ValidationError(f"No pump of your sites has the code {tag}.")
    if pump.retired_on is not None:
        raise ValidationError(
            f"{pump.serial_number} is retired since {day(pump.retired_on)}. If it is "
            "in use again, an engineer has to put the register right first."
        )
    if last_position_of(pump) is None:
        raise ValidationError(
            f"{pump.serial_number} is in the store and never stood at a position. "
            "Place it first; then its repairs can be logged."
        )
    return "pump", pump.pk
