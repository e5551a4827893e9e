"""Rating lives that the standards ask of a pump's bearings, as data."""

from dataclasses import dataclass
from enum import StrEnum

from plant.ratings.rating import Rating, Status


class Scope(StrEnum):
    BEARING = "each bearing"
    SYSTEM = "all bearings together"
    THRUST = "each thrust bearing"


@dataclass(frozen=True, slots=True)
class LifeTarget:
    """A least rating life and where it holds."""

    hours: Rating
    scope: Scope
    where: str


def _target(
    hours: float, source: str, status: Status, scope: Scope, where: str
) -> LifeTarget:
    return LifeTarget(Rating(hours, "h", source, status), scope, where)


LIFE_TARGETS = (
    _target(
        17_500,
        "ISO 5199",
        Status.MEMORY,
        Scope.BEARING,
        "anywhere in the allowed range of flow",
    ),
    _target(
        17_500,
        "ASME B73.1",
        Status.MEMORY,
        Scope.BEARING,
        "anywhere in the allowed range of flow",
    ),
    _target(
        25_000,
        "API 610 and ISO 13709",
        Status.FOUND,
        Scope.SYSTEM,
        "at rated conditions",
    ),
    _target(
        16_000,
        "API 610 and ISO 13709",
        Status.FOUND,
        Scope.SYSTEM,
        "at the largest radial and axial loads and rated speed",
    ),
    _target(
        50_000,
        "often asked of thrust pairs mounted back to back",
        Status.PRACTICE,
        Scope.THRUST,
        "as calculated for the pair",
    ),
)
