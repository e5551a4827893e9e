"""The entries of the top bar, for whoever is logged in."""

from dataclasses import dataclass

from django.http import HttpRequest
from django.urls import reverse

# label, URL name, permission that the page asks for (empty: any log-in)
PAGES = [
    ("Fleet", "analytics:fleet", ""),
    ("Pumps", "plant:position_list", ""),
    ("Repairs", "records:repair_list", ""),
    ("MTBR", "analytics:mtbr", ""),
    ("Trend", "analytics:trend", ""),
    ("Life", "analytics:life", ""),
    ("Bad actors", "analytics:bad_actors", ""),
    ("Actions", "records:action_list", ""),
    ("Reviews", "analytics:review_list", ""),
    ("Costs", "analytics:costs", "records.see_costs"),
    ("Data quality", "records:data_quality", ""),
    ("Import", "records:import_list", "records.import_fleet"),
    ("Administration", "admin:index", "plant.administer_site"),
]

# Addresses that belong to an entry though they do not begin with its own.
BELOW = {
    "plant:position_list": ("/positions/", "/t/", "/p/"),
    "analytics:costs": ("/money-tables/",),
}


@dataclass(frozen=True, slots=True)
class NavigationEntry:
    label: str
    url: str
    current: bool


def navigation(request: HttpRequest) -> dict[str, list[NavigationEntry]]:
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated:
        return {"navigation": []}
    entries = []
    for label, name, permission in PAGES:
        if permission and not user.has_perm(permission):
            continue
        url = reverse(name)
        current = any(
            request.path.startswith(start) for start in [url, *BELOW.get(name, ())]
        )
        if url == "/":
            current = request.path == "/"
        entries.append(NavigationEntry(label, url, current))
    return {"navigation": entries}
