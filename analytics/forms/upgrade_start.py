"""What the form of a new case begins with: positions, or another case."""

from datetime import date
from typing import Any

from django.http import QueryDict

from analytics.forms.actions import PK_DIGITS, chosen_row
from analytics.forms.upgrade_tags import tags_written
from analytics.forms.upgrades import first_values
from analytics.scope import today
from plant.access import sites_visible
from plant.models import Position, Site, User
from plant.zones import site_zone
from records.models import UpgradeCase
from records.services.upgrade_cases import MOST_POSITIONS


def first_of_address(query: QueryDict, user: User) -> dict[str, Any]:
    """Values of `?like=` a case, or of one or more `?position=` of one site.

    What is unknown, or at a site that the user may not see, is left out.
    """
    like = chosen_row(UpgradeCase.objects.visible_to(user), query.get("like", ""))
    if like is not None:
        values = first_values(like) | {"as_of": _today_at(like.site)}
        return values | {"title": f"{like.title}, copy"[:160]}
    positions = _positions(query.getlist("position"), user)
    if positions:
        site = positions[0].site
        tags = tags_written(position.tag for position in positions)
        return {"as_of": _today_at(site), "site": site.pk, "tags": tags}
    first = sites_visible(user).first()
    return {"as_of": _today_at(first) if first else today(), "site": first}


def _today_at(site: Site) -> date:
    """The last day that may be chosen ends at the site of the case."""
    with site_zone(site):
        return today()


def _positions(asked: list[str], user: User) -> list[Position]:
    """Those of the site of the first: a case is of one site."""
    keys = [int(key) for key in asked[:MOST_POSITIONS] if _is_key(key)]
    found = list(
        Position.objects.visible_to(user)
        .filter(pk__in=keys)
        .select_related("site")
        .order_by("tag", "pk")
    )
    return [row for row in found if row.site_id == found[0].site_id]


def _is_key(text: str) -> bool:
    return text.isdecimal() and text.isascii() and len(text) <= PK_DIGITS
