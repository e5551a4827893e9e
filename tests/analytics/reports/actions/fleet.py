"""A small fleet of equal pumps with as many repairs as a test says."""

from datetime import UTC, date, datetime, timedelta

from plant.models import Position
from records.choices import Category
from records.models import Repair
from tests.factories.plant import AreaFactory

DECIDED = date(2023, 1, 1)
DONE = date(2023, 2, 1)
BEGINNING = date(2020, 1, 1)


def fleet(size: int, **area: object) -> list[Position]:
    """Equal positions of one area, P-000 first."""
    place = AreaFactory(**area)
    return Position.objects.bulk_create(
        Position(
            area=place,
            site=place.site,
            tag=f"P-{number:03d}",
            in_service_on=BEGINNING,
        )
        for number in range(size)
    )


def repair(position: Position, day: date, **more: object) -> Repair:
    """A repair not stored yet, reported at noon."""
    return Repair(
        site=position.site,
        position=position,
        number=f"{position.tag} {day}",
        reported_at=datetime(day.year, day.month, day.day, 12, tzinfo=UTC),
        category=Category.CORRECTIVE,
        **more,
    )


def repairs_spread(position: Position, count: int, start: date, end: date) -> None:
    """So many repairs, evenly between two days; never close enough to be rework."""
    step = (end - start) / (count + 1)
    assert step > timedelta(days=31)
    Repair.objects.bulk_create(
        repair(position, start + step * (turn + 1)) for turn in range(count)
    )
