"""What the form needs without network: positions, pumps, fitted parts, code lists.

A fixed number of queries whatever the size of the fleet.
"""

from collections import defaultdict
from collections.abc import Iterable
from datetime import datetime
from hashlib import sha256
from typing import Any

from django.utils import timezone

from plant import display
from plant.access import may, sites_visible
from plant.choices import Beginning, Component, Location
from plant.hazards import LABELS
from plant.models import FittedLife, Placement, Position, Pump, User
from plant.ratings import STIFFNESS_LIMIT_PER_MM, RatingError, shaft_stiffness_ratio
from plant.tags.codes import TagCode, TagKind
from records.forms.components import details_of
from records.selectors.check_limits import OfferedCheck, limits_for
from records.tablet import vocabulary
from records.tablet.answers import dumped
from records.tablet.reading import IN_DETAILS
from records.tablet.register_log import register_log

LIFE_FIELDS = (
    "pk",
    "pump",
    "component",
    "location",
    "beginning",
    "fitted_at",
    *IN_DETAILS,
)
LOCATION_LABELS = {str(code): str(label) for code, label in Location.choices}
DETAILS = {
    str(component): [name for name in details_of(component) if name in IN_DETAILS]
    for component in Component
}
PART_OF = {
    str(component): "part_number" if component == Component.SEAL else "designation"
    for component in Component
}
Row = dict[str, Any]


def register_of(user: User, now: datetime | None = None) -> tuple[bytes, str]:
    """The register as JSON, and a tag that changes only with what it holds."""
    now = now or timezone.now()
    body = dumped({**_person(user), **_fleet(user, now), **_lists()})
    tag = sha256(body).hexdigest()[:32]
    # The time goes in front of the rest, which is long and written once only.
    made_at = dumped({"made_at": now.isoformat()})
    return made_at[:-1] + b"," + body[1:], f'"{tag}"'


def _person(user: User) -> Row:
    name = user.get_full_name() or user.get_username()
    sees_costs = may(user, "records.see_costs")
    return {"user": {"id": user.pk, "name": name, "sees_costs": sees_costs}}


def _lists() -> Row:
    return {
        "vocabulary": vocabulary.vocabulary(),
        "patterns": vocabulary.patterns(),
        "checks": vocabulary.checks(),
        "cautions": vocabulary.cautions(),
    }


def _fleet(user: User, now: datetime) -> Row:
    sites = list(sites_visible(user))
    positions = list(
        Position.objects.filter(site__in=sites)
        .in_service(timezone.localdate(now))
        .select_related("area")
        .order_by("site__name", "tag")
    )
    # By site, not by key: thousands of keys make a long statement.
    placements = {
        row.position_id: row.pump
        for row in Placement.objects.filter(
            position__site__in=sites, removed_at__isnull=True
        ).select_related("pump")
    }
    lives = _lives(sites)
    limits = limits_for(positions)
    log = register_log(sites, now)
    rows = []
    for place in positions:
        pump = placements.get(place.pk)
        rows.append(
            {
                **_place(place),
                "pump": _pump(pump, lives[pump.pk], now) if pump else None,
                "check_kinds": _checks(limits[place.pk]),
                **log.of(place, pump),
            }
        )
    return {
        "sites": [_site(site) for site in sites],
        "positions": rows,
        "store_pumps": _store(sites),
    }


def _checks(offered: Iterable[OfferedCheck]) -> list[Row]:
    return [
        {
            "kind": str(check.kind),
            "low": check.low,
            "high": check.high,
            "source": check.source,
            "certainty": str(check.certainty),
        }
        for check in offered
    ]


def _site(site: Any) -> Row:
    return {
        "id": site.pk,
        "name": site.name,
        "zone": site.time_zone,
        "currency": site.currency,
        "rework_window_days": site.rework_window_days,
    }


def _place(place: Position) -> Row:
    return {
        "id": place.pk,
        "site": place.site_id,
        "area": place.area.name,
        "tag": place.tag,
        "service": place.service,
        "liquid": place.liquid,
        "hazards": [LABELS.get(code, code) for code in place.hazards],
        "code": str(TagCode(TagKind.POSITION, place.pk)),
        "coupling": place.coupling,
        "speed_rpm": place.speed_rpm,
    }


def _pump(pump: Pump, lives: Iterable[Row], now: datetime) -> Row:
    return {
        "id": pump.pk,
        "code": str(TagCode(TagKind.PUMP, pump.pk)),
        "serial": pump.serial_number,
        "maker": pump.maker,
        "design": pump.design,
        "size": pump.size,
        "stiffness": _stiffness(pump),
        "lives": [_life(life, now) for life in lives],
    }


def _stiffness(pump: Pump) -> Row | None:
    """How far the shaft is from stiff, where its measures are on record."""
    try:
        ratio = shaft_stiffness_ratio(
            pump.shaft_overhang_mm or 0, pump.shaft_diameter_mm or 0
        )
    except RatingError:
        return None
    limit = STIFFNESS_LIMIT_PER_MM
    return {
        "text": f"{display.number(ratio)} {ratio.unit}",
        "limit_text": f"up to {display.number(limit)} {limit.unit}",
        "source": limit.source,
    }


def _lives(sites: Iterable[Any]) -> dict[int, list[Row]]:
    """Plain rows: of a large fleet there are tens of thousands."""
    by_pump: dict[int, list[Row]] = defaultdict(list)
    rows = FittedLife.objects.filter(pump__site__in=sites).still_in()
    for life in rows.order_by("pump", "location").values(*LIFE_FIELDS):
        by_pump[life["pump"]].append(life)
    return by_pump


def _life(life: Row, now: datetime) -> Row:
    known = life["beginning"] != Beginning.UNKNOWN
    age = (now - life["fitted_at"]).days
    names = DETAILS[life["component"]]
    return {
        "id": life["pk"],
        "component": life["component"],
        "location": life["location"],
        "location_label": LOCATION_LABELS[life["location"]],
        "label": life[PART_OF[life["component"]]],
        "fitted_on": display.date(life["fitted_at"]) if known else None,
        "age_text": f"{age:,} days" if known else "age not known",
        "details": {name: life[name] for name in names},
    }


def _store(sites: Iterable[Any]) -> list[Row]:
    rows = Pump.objects.filter(site__in=sites, retired_on__isnull=True).exclude(
        placements__in=Placement.objects.filter(removed_at__isnull=True)
    )
    return [
        {
            "id": pump.pk,
            "site": pump.site_id,
            "code": str(TagCode(TagKind.PUMP, pump.pk)),
            "serial": pump.serial_number,
            "design": pump.design,
            "size": pump.size,
        }
        for pump in rows.order_by("serial_number")
    ]
