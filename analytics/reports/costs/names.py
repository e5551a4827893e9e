"""What the keys of a cost table are called: each thing is asked for once."""

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from analytics.reports.costs.groupings import FIELDS, NAMES, CostGrouping
from analytics.reports.costs.tally import Group, Key
from plant.models import Area, Position, Pump, Site

# Above so many keys all that lie between them are read: a long list takes longer.
MANY = 500
SITE = "site__name"
# Of each field: the model, and its fields in the order of `NAMES` without the site.
ASKED: dict[str, tuple[Any, tuple[str, ...]]] = {
    "position": (Position, ("tag",)),
    "position__area": (Area, ("name",)),
    "pump": (Pump, ("serial_number", "maker")),
}
Named = Callable[[Key, Group], Mapping[str, Any]]


def names_looked_up(grouping: CostGrouping, groups: Mapping[Key, Group]) -> Named:
    """For a key and its group: its values with the names that `NAMES` asks for."""
    fields = FIELDS[grouping]
    first = fields[0]
    sites: dict[Any, tuple[Any, ...]] = {}
    if SITE in NAMES.get(first, ()):
        sites = dict(_asked(Site, ("name",), {group.site for group in groups.values()}))
    things: dict[Any, tuple[Any, ...]] = {}
    if first in ASKED:
        model, wanted = ASKED[first]
        keys = {key[0] for key in groups if key[0] is not None}
        things = dict(_asked(model, wanted, keys))
    own_names = [name for name in NAMES.get(first, ()) if name != SITE]

    def named(key: Key, group: Group) -> Mapping[str, Any]:
        row = dict(zip(fields, key, strict=True))
        if key[0] in things:
            row |= zip(own_names, things[key[0]], strict=True)
        if sites:
            row[SITE] = sites[group.site][0]
        return row

    return named


def _asked(
    model: Any, wanted: tuple[str, ...], keys: set[Any]
) -> Iterator[tuple[Any, tuple[Any, ...]]]:
    if len(keys) > MANY:
        rows = model.objects.filter(pk__range=(min(keys), max(keys)))
    else:
        rows = model.objects.filter(pk__in=sorted(keys))
    for key, *names in rows.order_by().values_list("pk", *wanted):
        yield key, tuple(names)
