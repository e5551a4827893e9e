"""The views of costs: links that keep site and area."""

from typing import Any
from urllib.parse import urlencode

from django.http import QueryDict
from django.urls import reverse

# label by URL name, in the order shown
TABS = {
    "costs": "What repairs cost",
    "lost_production": "Lost production",
    "upgrade_cases": "Upgrade cases",
    "energy": "Energy and wear",
    "budget": "Budget",
    "money_tables": "Rates and price levels",
}
APPS = {"money_tables": "records"}
CARRIED = ("site", "area")


def costs_tabs(current: str, query: QueryDict) -> list[dict[str, Any]]:
    """Links to the other views; each takes along the place asked for."""
    place = {name: query[name] for name in CARRIED if query.get(name)}
    asked = f"?{urlencode(place)}" if place else ""
    return [
        {
            "label": label,
            "url": reverse(f"{APPS.get(name, 'analytics')}:{name}") + asked,
            "is_current": name == current,
        }
        for name, label in TABS.items()
    ]
