"""Every limit that holds: the ones we ship, and those a site set itself."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from plant.access import sites_visible
from plant.models import Site, User
from records.check_catalogue import DESCRIPTIONS, CheckDescription
from records.models import CheckLimit

NEWEST_CHANGES = 50


@dataclass(frozen=True, slots=True)
class LimitRow:
    """One limit of the list; without `own` it is the one we ship, for every site."""

    described: CheckDescription
    own: CheckLimit | None = None

    @property
    def low(self) -> float | None:
        return self.own.low if self.own else self.described.default_low

    @property
    def high(self) -> float | None:
        return self.own.high if self.own else self.described.default_high

    @property
    def source(self) -> str:
        return self.own.source if self.own else self.described.source

    @property
    def certainty(self) -> str:
        if self.own:
            return str(self.own.get_certainty_display())
        return str(self.described.certainty.label)


@dataclass(frozen=True, slots=True)
class LimitChange:
    """One entry in the history of the sites' own limits."""

    at: datetime
    who: str
    what: str
    row: Any


def limit_rows(
    *, user: User, site: Site | None = None, kind: str = ""
) -> list[LimitRow]:
    """By kind: the limit we ship, then the sites' own, widest case first."""
    own = CheckLimit.objects.filter(site__in=sites_visible(user))
    if site is not None:
        own = own.filter(site=site)
    rows = list(
        own.select_related("site").order_by("site__name", "design", "size", "pk")
    )
    listed = []
    for described in DESCRIPTIONS:
        if kind in ("", described.kind):
            listed.append(LimitRow(described))
            mine = [row for row in rows if row.kind == described.kind]
            listed.extend(LimitRow(described, row) for row in mine)
    return listed


def limit_changes(*, user: User) -> list[LimitChange]:
    """The newest changes of the sites' own limits, removed ones among them."""
    rows = CheckLimit.history.filter(site__in=sites_visible(user))
    words = {"+": "Added", "~": "Changed", "-": "Removed"}
    return [
        LimitChange(
            row.history_date,
            str(row.history_user) if row.history_user else "Not recorded",
            ": ".join(
                filter(None, [words[row.history_type], row.history_change_reason])
            ),
            row,
        )
        for row in rows.select_related("history_user", "site").order_by("-history_id")[
            :NEWEST_CHANGES
        ]
    ]
