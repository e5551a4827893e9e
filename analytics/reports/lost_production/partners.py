"""Which positions of a spare group were able to run during a stoppage."""

from functools import cached_property

import numpy as np

from analytics.money.stops import downs_of
from analytics.reports.lost_production.losses import Losses

Span = tuple[int, int]


class Partners:
    """The others of each group, with the time they were able to run."""

    def __init__(self, found: Losses) -> None:
        self.losses = found

    @cached_property
    def _of_group(self) -> dict[int, list[int]]:
        rows: dict[int, list[int]] = {}
        for member, group in enumerate(self.losses.fleet.group.tolist()):
            rows.setdefault(group, []).append(member)
        return rows

    @cached_property
    def _downs(self) -> dict[int, list[Span]]:
        downs = downs_of(self.losses.fleet, self.losses.outages.stops)
        spans: dict[int, list[Span]] = {}
        for member, start, end in np.column_stack(
            [downs.position, downs.start, downs.end]
        ).tolist():
            spans.setdefault(member, []).append((start, end))
        return spans

    def able(self, member: int, span: Span) -> list[tuple[str, int]]:
        """Tags of the others with the time they were able to run, the longest first."""
        fleet = self.losses.fleet
        tags = self.losses.members["tag"].array
        found = []
        for other in self._of_group[int(fleet.group[member])]:
            serves = int(fleet.serves_from[other]), int(fleet.serves_until[other])
            able = _shared(span, serves) - sum(
                _shared(span, down) for down in self._downs.get(other, [])
            )
            if other != member and able > 0:
                found.append((str(tags[other]), able))
        return sorted(found, key=lambda pair: -pair[1])


def _shared(one: Span, other: Span) -> int:
    return max(0, min(one[1], other[1]) - max(one[0], other[0]))
