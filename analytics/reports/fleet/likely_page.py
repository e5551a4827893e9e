"""What the list of parts likely to fail is given to show."""

from typing import Any
from urllib.parse import urlencode

from django.core.paginator import Paginator
from django.http import QueryDict
from django.urls import reverse

from analytics.part_pools import Rung
from analytics.reports.fleet.likely import (
    LEAST_FAILURES,
    LikelyFailures,
    PartLikely,
)
from analytics.scope import Scope
from analytics.tables import Cell, address_with
from plant.choices import Component, Location
from plant.display import count, fixed, hours, number, percent
from plant.listing import PAGE_SIZE
from plant.tables.cells import cell, position_cell, pump_cell

FIRST = 10
EXPORT_HEADER = [
    "chance of failing in 90 days",
    "position",
    "pump",
    "place in the pump",
    "part",
    "piping plan",
    "running hours",
    "rests on",
    "failed lives of these",
    "lives of these",
]
COLUMNS: list[Cell] = [
    {"label": "Position"},
    {"label": "Chance, 90 days", "numeric": True},
    {"label": "Part"},
    {"label": "Running hours", "numeric": True},
    {"label": "Rests on"},
    {"label": "Pump"},
]


def context(
    found: LikelyFailures, scope: Scope, query: QueryDict, *, is_panel: bool
) -> dict[str, Any]:
    """The likeliest few on the Fleet page, all of them page by page on their own."""
    size = FIRST if is_panel else PAGE_SIZE
    page = Paginator(found.parts, size).get_page(query.get("page"))
    return {
        "found": found,
        "expected": fixed(found.expected),
        "sentences": sentences(found),
        "page": page,
        "columns": COLUMNS,
        "rows": [_row(part, scope) for part in page.object_list],
        "all_url": address_with(reverse("analytics:fleet_likely"), query),
        "parts": count(len(found.parts), "part"),
    }


def sentences(found: LikelyFailures) -> list[str]:
    """How many are expected, how sure that is, and what is not in it."""
    said = [
        f"{fixed(found.expected)} failures of {count(len(found.parts), 'part')} in "
        f"service are expected within 90 days; {percent(found.confidence)} of the time "
        f"{number(found.low)} to {number(found.high)} by chance alone, were the lives "
        "exactly as fitted."
    ]
    if found.without_fit:
        said.append(
            f"Left out: {count(found.without_fit, 'part')} without a name, or "
            f"with fewer than {number(LEAST_FAILURES)} failures of their kind."
        )
    if found.unusable:
        said.append(
            f"Left out: {count(found.unusable, 'part')} whose age is not known, "
            "counted over all areas."
        )
    return said


def _row(part: PartLikely, scope: Scope) -> list[Cell]:
    plan = f", plan {part.plan}" if part.plan else ""
    return [
        position_cell(part.position, part.tag),
        cell(percent(part.chance), numeric=True),
        cell(f"{part.part}{plan}", note=str(Location(part.location).label)),
        cell(hours(part.age_hours), numeric=True),
        cell(
            f"{number(part.failed)} failed of {number(part.lives)} lives",
            url=_lives_address(part, scope),
            note=part.rung.value,
        ),
        pump_cell(part.pump, part.serial),
    ]


def _lives_address(part: PartLikely, scope: Scope) -> str:
    """Its story with the interval, or the Life page's forecast of the same lives."""
    if part.rung is Rung.OWN:
        return reverse("analytics:story", args=[part.position])
    component = "seal" if part.component == Component.SEAL else part.component
    asked = {"component": component, "part": part.part, "plan": part.plan}
    if part.rung is Rung.AREA:
        asked["area"] = str(part.area)
    elif scope.site is not None:
        asked["site"] = str(scope.site.pk)
    given = {name: value for name, value in asked.items() if value}
    return f"{reverse('analytics:life_forecast')}?{urlencode(given)}"


def export_row(part: PartLikely) -> list[Any]:
    return [
        part.chance,
        part.tag,
        part.serial,
        Location(part.location).label,
        part.part,
        part.plan,
        part.age_hours,
        part.rung.value,
        part.failed,
        part.lives,
    ]
