"""The list of flagged units against the list a month before."""

from collections.abc import Collection
from dataclasses import dataclass, replace
from enum import StrEnum

from analytics.exposure import Window, months_back
from analytics.scope import Scope


class Change(StrEnum):
    """The value is what a page prints."""

    NEW = "new"
    STILL = "still"
    RECOVERED = "recovered"
    GONE = "no longer judged"


@dataclass(frozen=True, slots=True)
class ListChanges:
    """Units by what became of their flag, each in the order of its name."""

    new: tuple[str, ...]
    still: tuple[str, ...]
    recovered: tuple[str, ...]
    gone: tuple[str, ...]

    def by_unit(self) -> dict[str, Change]:
        """What became of each unit; one that is on neither list is not among them."""
        lists = zip(
            Change, (self.new, self.still, self.recovered, self.gone), strict=True
        )
        return {unit: change for change, units in lists for unit in units}


def list_changes(
    now: Collection[str], before: Collection[str], judged: Collection[str]
) -> ListChanges:
    """Compare two lists of flagged units; `judged` are all that are judged now.

    A unit that left service has not recovered.
    """
    flagged, earlier, present = set(now), set(before), set(judged)
    over = earlier - flagged
    return ListChanges(
        new=tuple(sorted(flagged - earlier)),
        still=tuple(sorted(flagged & earlier)),
        recovered=tuple(sorted(over & present)),
        gone=tuple(sorted(over - present)),
    )


def a_month_before(scope: Scope) -> Scope:
    """The same question as it was asked a month earlier."""
    window = scope.window
    earlier = Window(months_back(window.start, 1), months_back(window.end, 1))
    return replace(scope, window=earlier)
