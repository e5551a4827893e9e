"""Names that differ from another only by capital letters: one thing written twice."""

from collections.abc import Iterable

from records.importing.known import Known

AREA, SITE, TAG = "area", "site", "tag"


class Twins:
    """The names so far, stored and from earlier rows, by how they sound."""

    def __init__(self, known: Known) -> None:
        self.names: dict[tuple[str, str, str], str] = {}
        self._take(SITE, (("", name) for name in known.sites))
        self._take(AREA, known.areas)
        self._take(TAG, known.positions)

    def _take(self, what: str, keys: Iterable[tuple[str, str]]) -> None:
        for site, name in keys:
            self.names.setdefault((what, site, name.casefold()), name)

    def of(self, what: str, site: str, name: str) -> str | None:
        """The other way a new name is written already; None when there is none."""
        other = self.names.setdefault((what, site, name.casefold()), name)
        return None if other == name else other
