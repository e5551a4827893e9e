"""What the form of a new case begins with: positions, or another case."""

from typing import Any

from django.http import QueryDict

from analytics.forms.actions import PK_DIGITS, chosen_row
from analytics.forms.upgrades import first_values
from analytics.scope import today
from plant.access import sites_visible
from plant.models import Position, User
from records.models import UpgradeCase
from records.services.upgrade_cases import MOST_POSITIONS


def first_of_address(query: QueryDict, user: User) -> dict[str, Any]:
    """Values of `?like=` a case, or of one or more `?position=` of one site.

    What is unknown, or at a site that the user may not see, is left out.
    """
    values: dict[str, Any] = {"as_of": today()}
    like = chosen_row(UpgradeCase.objects.visible_to(user), query.get("like", ""))
    if like is not None:
        values = first_values(like) | {"as_of": today()}
        return values | {"title": f"{like.title}, copy"[:160]}
    positions = _positions(query.getlist("position"), user)
    if positions:
        tags = [position.tag for position in positions]
        values |= {"site": positions[0].site_id, "tags": ", ".join(tags)}
    else:
        values["site"] = sites_visible(user).first()
    return values


def _positions(asked: list[str], user: User) -> list[Position]:
    """Those of the site of the first: a case is of one site."""
    keys = [int(key) for key in asked[:MOST_POSITIONS] if _is_key(key)]
    found = list(
        Position.objects.visible_to(user).filter(pk__in=keys).order_by("tag", "pk")
    )
    return [row for row in found if row.site_id == found[0].site_id]


def _is_key(text: str) -> bool:
    return text.isdecimal() and text.isascii() and len(text) <= PK_DIGITS
