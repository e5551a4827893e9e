"""What an entry asks back instead of being stored: kept with both versions."""

from collections.abc import Collection
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from django.core.exceptions import ValidationError
from django.db.models import TextChoices
from django.utils.dateparse import parse_datetime

from plant.display import date_time
from plant.models import FittedLife, Placement, User
from plant.zones import site_zone
from records.choices import ChangeKind
from records.models import ComponentChange, Repair
from records.selectors.plate import PlateRead, plate_compared
from records.services.half_done import AsIsAsked
from records.services.repair_checks import refuse_wrong_place
from records.tablet.faults import Fault, Refused, faults_of
from records.tablet.typed import Typed


class QuestionKind(TextChoices):
    DUPLICATE = "duplicate", "Already in the log?"
    REMOVED = "removed", "Component already changed"
    MOVED = "moved", "Another pump stands there"
    AS_IS = "as it is", "Looks half done"


@dataclass
class Asked(Exception):
    """Why an entry waits; `lives` and `places` are what can no longer be done."""

    kind: QuestionKind
    sentence: str
    other: Repair | None = None
    lives: list[int] = field(default_factory=list)
    places: list[str] = field(default_factory=list)
    codes: list[str] = field(default_factory=list)

    def as_json(self) -> dict[str, Any]:
        return {
            "kind": str(self.kind),
            "sentence": self.sentence,
            "other": self.other.pk if self.other else None,
            "lives": self.lives,
            "places": self.places,
            "codes": self.codes,
        }


def ask_half_done(error: AsIsAsked) -> Asked:
    sentence = " ".join(error.messages)
    return Asked(QuestionKind.AS_IS, sentence, codes=error.questions)


def ask_duplicate(other: Repair) -> Asked:
    sentence = (
        f"This looks like {other}: same position and item, reported on "
        f"{date_time(other.reported_at)}. Is it the same job?"
    )
    return Asked(QuestionKind.DUPLICATE, sentence, other)


def ask_if_changed(typed: Typed, register_made_at: str) -> None:
    """Ask when what the entry takes out, or the place it fills, was changed meanwhile.

    Raises
    ------
    Asked
        With every such component and place, and the repair that changed them.
    Refused
        When a place was taken already when the tablet fetched its register.
    """
    gone = [out.life for out in typed.outs if out.life.removed_at is not None]
    taken = _taken(typed)
    seen_at = parse_moment(register_made_at)
    visible = {life.location for life in taken if _is_older(life, seen_at)}
    faults = [
        Fault(f"done.in.{index}.location", "One stands there: take that one out first.")
        for index, row in enumerate(typed.ins)
        if row.location in visible
    ]
    if faults:
        raise Refused(faults)
    if not gone and not taken:
        return
    with site_zone(typed.position.site):
        sentences = [
            f"{life} was already taken out on {date_time(life.removed_at)}."
            for life in gone
        ] + [
            f"{life} was already fitted on {date_time(life.fitted_at)}."
            for life in taken
        ]
    other = _changed_by(gone, ChangeKind.OUT) or _changed_by(taken, ChangeKind.IN)
    if other is not None:
        sentences.append(f"It stands in the log as {other}.")
    raise Asked(
        QuestionKind.REMOVED,
        " ".join(sentences),
        other,
        lives=[life.pk for life in gone],
        # A place that stands empty by now can still be filled.
        places=sorted(life.location for life in taken),
    )


def _taken(typed: Typed) -> list[FittedLife]:
    """What stands in a place that the entry fills without emptying it."""
    leaving = [out.life.pk for out in typed.outs]
    return list(
        FittedLife.objects.filter(
            pump=typed.pump,
            removed_at__isnull=True,
            location__in=[row.location for row in typed.ins],
        )
        .exclude(pk__in=leaving)
        .select_related("pump")
    )


def _is_older(life: FittedLife, moment: datetime | None) -> bool:
    """Whether the register that the tablet had showed it already."""
    return moment is not None and _noted_before(life.history, moment)


def _noted_before(history: Any, moment: datetime) -> bool:
    first = history.order_by("history_date").values_list("history_date", flat=True)
    noted_at = first.first()
    # Rows that came before histories were kept have none, and are older still.
    return noted_at is None or noted_at <= moment


def _changed_by(lives: Collection[FittedLife], change: str) -> Repair | None:
    row = (
        ComponentChange.objects.filter(life__in=lives, change=change)
        .select_related("repair__position")
        .order_by("-repair__reported_at")
        .first()
    )
    return row.repair if row else None


def ask_if_moved(typed: Typed) -> None:
    """Ask when the pump did stand there once, but not at the times typed.

    Raises
    ------
    Asked
        When it was moved.
    Refused
        When it never stood there.
    """
    if typed.pump is None:
        return
    try:
        refuse_wrong_place(typed.as_repair())
    except ValidationError as error:
        there = Placement.objects.filter(pump=typed.pump, position=typed.position)
        if not there.exists():
            raise Refused(faults_of(error, {"reported_at": "pump"}, "pump")) from error
        sentence = (
            f"By the register, pump {typed.pump} did not stand at {typed.position} "
            "at the times you gave. Was it moved?"
        )
        raise Asked(QuestionKind.MOVED, sentence) from error


def ask_if_plate_differs(by: User, typed: Typed) -> None:
    """Ask when the plate names another pump than the register."""
    if not typed.serial_read:
        return
    answer = plate_compared(
        user=by,
        position=typed.position,
        check=PlateRead.OTHER,
        serial_read=typed.serial_read,
    )
    if not answer.agrees:
        raise Asked(QuestionKind.MOVED, answer.sentence)


def ask_if_spare_is_taken(typed: Typed, register_made_at: str) -> None:
    """The pump that is put in must come from the store.

    Raises
    ------
    Asked
        When it was placed elsewhere after the tablet fetched its register.
    Refused
        When it stood elsewhere already.
    """
    spare = typed.swap_to_pump
    if spare is None:
        return
    placement = (
        Placement.objects.filter(pump=spare, removed_at__isnull=True)
        .select_related("position")
        .first()
    )
    if placement is None:
        return
    sentence = (
        f"By the register, pump {spare} stands at {placement.position}: a pump is at "
        "one position at a time."
    )
    seen_at = parse_moment(register_made_at)
    if seen_at is None or _noted_before(placement.history, seen_at):
        raise Refused([Fault("done.swap_to_pump", sentence)])
    raise Asked(QuestionKind.MOVED, sentence)


def parse_moment(text: str) -> datetime | None:
    """When the register was made, as the logbook itself wrote it."""
    try:
        moment = parse_datetime(text)
    except ValueError:
        return None
    return moment if moment and moment.tzinfo else None
