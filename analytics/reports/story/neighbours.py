"""The positions that a story is compared with: a bounded choice, nearest first.

A site may hold thousands of positions. A story reads the same number of them in a
small fleet as in a large one, so that its page stays as fast as the fleet grows.
"""

from dataclasses import dataclass, field

from django.db.models import Case, IntegerField, Q, Value, When

from analytics.part_pools import MOST_COMPARED, Places
from analytics.reports.trend.question import TrendQuestion, TrendScope
from plant.models import Position, User
from plant.models.position import PositionQuerySet

MOST_NEIGHBOURS = MOST_COMPARED


@dataclass(frozen=True, slots=True)
class Neighbours:
    """Positions of one site, the subject's own among them.

    `is_cut` tells that the site has more of them. `places` are the same, with the
    subject in its own place among them and not first.
    """

    pks: tuple[int, ...]
    is_cut: bool
    places: Places = field(default_factory=lambda: Places.of_rows(()), compare=False)

    def in_words(self) -> str:
        if not self.is_cut:
            return "Compared with all positions of the site."
        return (
            f"Compared with {MOST_NEIGHBOURS} positions of the site: first those of "
            "the same area and liquid, then of the area, of the liquid, and others by "
            "their tag."
        )


def neighbours_of(*, user: User, place: Position) -> Neighbours:
    """The nearest positions in liquid and area; one query."""
    nearness = Case(
        When(Q(area=place.area_id, liquid=place.liquid), then=Value(1)),
        When(Q(area=place.area_id), then=Value(2)),
        When(Q(liquid=place.liquid), then=Value(3)),
        default=Value(4),
        output_field=IntegerField(),
    )
    rows = list(
        Position.objects.visible_to(user)
        .filter(site=place.site_id)
        .annotate(nearness=nearness)
        .order_by("nearness", "tag", "pk")
        .values_list("pk", "site", "area", "liquid")[: MOST_NEIGHBOURS + 1]
    )
    is_cut = len(rows) > MOST_NEIGHBOURS
    rows = rows[:MOST_NEIGHBOURS]
    others = [row[0] for row in rows if row[0] != place.pk]
    if len(others) == len(rows):
        # It stands so far behind by its tag that its like alone are enough.
        rows.append((place.pk, place.site_id, place.area_id, place.liquid))
    pks = (place.pk, *others)[:MOST_NEIGHBOURS]
    return Neighbours(pks, is_cut, Places.of_rows(rows))


@dataclass(frozen=True)
class NeighbourScope(TrendScope):
    """A scope narrowed to the neighbours."""

    pks: tuple[int, ...] = ()

    def positions(self) -> PositionQuerySet:
        return super().positions().filter(pk__in=self.pks)


@dataclass(frozen=True)
class NeighbourQuestion(TrendQuestion):
    """The trend question of one position, asked among its neighbours only."""

    neighbours: tuple[int, ...] = ()

    @property
    def loaded(self) -> TrendScope:
        """The positions to load: the neighbours instead of every position."""
        scope = self.scope
        return NeighbourScope(
            scope.user,
            scope.window,
            confidence=scope.confidence,
            site=scope.position.site if scope.position else None,
            pks=self.neighbours,
        )
