"""Repair numbers: the site's initials, the year and a running number."""

from datetime import datetime
from zoneinfo import ZoneInfo

from django.core.exceptions import ValidationError
from django.db.models.functions import Length

from plant.models import Site
from records.models import Repair

DIGITS = 4
INITIALS = 4


def number_of(*, site: Site, typed: str, reported_at: datetime) -> str:
    """The number as typed, or the next free one; the caller holds the site's row.

    Raises
    ------
    ValidationError
        When another repair of the site has that number.
    """
    if not typed:
        return _number_next(site, reported_at)
    taken = Repair.objects.filter(site=site, number=typed).first()
    if taken is not None:
        raise ValidationError(
            {"number": f"{typed} is taken by the repair of {taken.position}."}
        )
    return typed


def _number_next(site: Site, reported_at: datetime) -> str:
    year = reported_at.astimezone(ZoneInfo(site.time_zone)).year
    prefix = _prefix(site.name, year)
    last = (
        Repair.objects.filter(
            site=site, number__startswith=prefix, number__regex=rf"^{prefix}\d+$"
        )
        .order_by(Length("number").desc(), "-number")
        .values_list("number", flat=True)
        .first()
    )
    running = int(last.removeprefix(prefix)) + 1 if last else 1
    return number_in_words(site.name, year, running)


def number_in_words(site_name: str, year: int, running: int) -> str:
    """`HW-2026-0001` for the first repair of a year."""
    return f"{_prefix(site_name, year)}{running:0{DIGITS}d}"


def _prefix(site_name: str, year: int) -> str:
    return f"{site_initials(site_name)}-{year}-"


def site_initials(name: str) -> str:
    """`North works` gives NW; a name without plain letters gives R for repair."""
    letters = [word[0].upper() for word in name.split() if word[0].isascii()]
    return "".join(c for c in letters if c.isalnum())[:INITIALS] or "R"
