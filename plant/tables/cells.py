"""Small pieces that table rows are made of."""

from decimal import Decimal
from typing import Any

from django.urls import reverse

from plant.display import NO_VALUE, number


def cell(text: str | None, **more: Any) -> dict[str, Any]:
    """One table cell; a dash where there is nothing to show."""
    return {"text": text or NO_VALUE, **more}


def as_entered(value: float) -> str:
    """A design value with the digits it was given, six at most."""
    digits = len(Decimal(repr(value)).normalize().as_tuple().digits)
    return number(value, min(digits, 6))


def position_cell(pk: int | None, tag: str | None, **more: Any) -> dict[str, Any]:
    if pk is None:
        return cell(tag, **more)
    return cell(tag, url=reverse("plant:position_detail", args=[pk]), **more)


def pump_cell(pk: int | None, serial: str | None, **more: Any) -> dict[str, Any]:
    if pk is None:
        return cell(serial, **more)
    return cell(serial, url=reverse("plant:pump_detail", args=[pk]), **more)
