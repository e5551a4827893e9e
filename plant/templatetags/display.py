"""The functions of plant.display as template filters, and cells fast to look into."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from typing import Any

from django import template

from plant import display

register = template.Library()

for show in (
    display.text,
    display.yes_no,
    display.number,
    display.fixed,
    display.hours,
    display.days,
    display.months,
    display.duration,
    display.date,
    display.date_time,
    display.percent,
    display.money,
    display.interval,
    display.count,
):
    register.filter(show.__name__, show)


@register.filter
def blanks_filled(cells: Iterable[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """Cells in which what was not given reads as blank.

    Django looks a missing key up in four ways before it gives up: of a long table
    that was the slowest part.
    """
    return [defaultdict(str, cell) for cell in cells]
