"""Whose story it is: a position with the pumps that stood there, or one machine."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import Q

from plant.models import Placement, Position, Pump, User

# A part may be taken out in the shop some days after its pump left the position.
IN_SHOP = timedelta(days=30)


@dataclass(frozen=True, slots=True)
class Stay:
    """One pump at one position; `removed_at` is empty while it stands there."""

    pump: int
    serial: str
    position: int
    tag: str
    placed_at: datetime
    removed_at: datetime | None

    def holds(self, moment: datetime) -> bool:
        """Whether it stood there, or lay in the shop after it was taken from there."""
        left = self.removed_at
        return self.placed_at <= moment and (left is None or moment <= left + IN_SHOP)


@dataclass(frozen=True, slots=True)
class Subject:
    """A position or a machine as of a moment.

    `place` is the position itself; for a machine where it stands, else where it stood
    longest. `machine` is the pump itself, or the one that stands at the position.
    """

    user: User
    as_of: datetime
    is_machine: bool
    place: Position | None
    machine: Pump | None
    stays: tuple[Stay, ...]

    @property
    def label(self) -> str:
        return str(self.machine if self.is_machine else self.place)

    @property
    def is_placed(self) -> bool:
        """Whether a pump stands at the place now."""
        return any(stay.removed_at is None for stay in self.stays)

    def of_rows(self) -> Q:
        """Condition for repairs that are the subject's own."""
        if self.is_machine:
            return Q(pump=self.machine)
        return Q(position=self.place)

    def of_readings(self) -> Q:
        """Condition for its readings; a machine's are those taken while it stood."""
        if not self.is_machine:
            return Q(position=self.place)
        condition = Q(pump=self.machine)
        for stay in self.stays:
            there = Q(position=stay.position, pump=None, read_at__gte=stay.placed_at)
            if stay.removed_at is not None:
                there &= Q(read_at__lt=stay.removed_at)
            condition |= there
        return condition

    def stay_of(self, pump: int, moment: datetime) -> Stay | None:
        """The latest stay of a pump that holds a moment."""
        held = (s for s in self.stays if s.pump == pump and s.holds(moment))
        return max(held, key=lambda stay: stay.placed_at, default=None)

    def has_life(self, pump: int, end: datetime) -> bool:
        """Whether a part of that pump ended its life here, or runs here now.

        A machine's parts are its own wherever it stood.
        """
        if self.is_machine:
            return self.machine is not None and pump == self.machine.pk
        return self.stay_of(pump, end) is not None

    def pumps(self) -> set[int]:
        own = {stay.pump for stay in self.stays}
        return {self.machine.pk} if self.is_machine and self.machine else own


def position_subject(*, user: User, position: Position, as_of: datetime) -> Subject:
    """The story of a tag; two queries."""
    stays = _stays(Q(position=position), as_of)
    now = next((stay for stay in stays if stay.removed_at is None), None)
    machine = Pump.objects.filter(pk__in=[now.pump] if now else []).first()
    return Subject(user, as_of, False, position, machine, stays)


def pump_subject(*, user: User, pump: Pump, as_of: datetime) -> Subject:
    """The story of a machine; two queries."""
    stays = _stays(Q(pump=pump), as_of)
    home = _home(stays, as_of)
    known = Position.objects.filter(pk__in=[home] if home else [])
    place = known.select_related("area", "site").first()
    return Subject(user, as_of, True, place, pump, stays)


def _stays(condition: Q, as_of: datetime) -> tuple[Stay, ...]:
    rows = (
        Placement.objects.filter(condition, placed_at__lte=as_of)
        .order_by("placed_at", "pk")
        .values_list(
            *("pump", "pump__serial_number", "position", "position__tag"),
            *("placed_at", "removed_at"),
        )
    )
    return tuple(Stay(*row) for row in rows)


def _home(stays: Iterable[Stay], as_of: datetime) -> int | None:
    """Where a machine stands, else where it stood longest; none if it never did."""
    seconds: dict[int, float] = {}
    for stay in stays:
        if stay.removed_at is None:
            return stay.position
        length = (stay.removed_at - stay.placed_at).total_seconds()
        seconds[stay.position] = seconds.get(stay.position, 0.0) + length
    return max(seconds, key=lambda key: (seconds[key], -key), default=None)
