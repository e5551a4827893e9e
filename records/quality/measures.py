"""The measures of data quality: which rows are doubtful, out of which.

Each is a condition on one table, so that all measures of a table cost one query and
the rows behind a figure are those that were counted.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from django.db.models import Exists, F, OuterRef, Q

from plant.choices import Beginning, Component, ConditionFound, WhyRemoved
from plant.models import FittedLife, Placement
from records.check_choices import CheckStage
from records.choices import (
    Cause,
    CostStatus,
    FailureMode,
    Item,
    Mechanism,
    PlateCheck,
    RepairState,
)
from records.models import CostLine, HourReading, Repair, SettingCheck
from records.selectors.findings import findings_open
from records.services.half_done import COMPONENT_OF_ITEM, FAILURES

OLD_DRAFT_DAYS = 7
METER_SILENT_DAYS = 92
ESTIMATE_STALE_DAYS = 92
OPEN_STOP_DAYS = 30
SAME_EVENT_HOURS = 24
OF_FAILURES = Q(category__in=FAILURES)


class Table(StrEnum):
    """The rows a measure is about."""

    REPAIRS = "repairs"
    CHECKS = "checks"
    LIVES = "lives"
    POSITIONS = "positions"


@dataclass(frozen=True, slots=True)
class Measure:
    """One figure: `doubtful(now)` picks rows out of those that `out_of` names."""

    key: str
    table: Table
    label: str
    why: str
    doubtful: Callable[[datetime], Q]
    out_of: Q = Q()
    out_of_words: str = "repairs"
    is_open_work: bool = False


def _open_component(component: str) -> Exists:
    """A position whose pump carries no such part that is still in."""
    return Exists(
        FittedLife.objects.filter(
            pump__placements__position=OuterRef("pk"),
            pump__placements__removed_at=None,
            component=component,
            removed_at=None,
        )
    )


_STANDING = Placement.objects.filter(position=OuterRef("pk"), removed_at=None)


def _same_event(_: datetime) -> Q:
    """Another repair of the position, reported within a day, about the same item."""
    near = timedelta(hours=SAME_EVENT_HOURS)
    twin = (
        Repair.objects.not_void()
        .filter(
            position=OuterRef("position"),
            item=OuterRef("item"),
            shop_work_of=None,
            reported_at__gte=OuterRef("reported_at") - near,
            reported_at__lte=OuterRef("reported_at") + near,
        )
        .exclude(pk=OuterRef("pk"))
    )
    return Q(Exists(twin), shop_work_of=None)


def _silent_meter(now: datetime) -> Q:
    since = now - timedelta(days=METER_SILENT_DAYS)
    read = HourReading.objects.filter(position=OuterRef("pk"), read_at__gte=since)
    return ~Q(Exists(read))


def _only_estimates(now: datetime) -> Q:
    lines = CostLine.objects.standing().filter(repair=OuterRef("pk"))
    booked = lines.filter(status=CostStatus.BOOKED)
    before = now - timedelta(days=ESTIMATE_STALE_DAYS)
    return ~Q(Exists(booked)) & Q(reported_at__lt=before)


def _no_check(_: datetime) -> Q:
    left = SettingCheck.objects.filter(
        repair=OuterRef("pk"), stage=CheckStage.LEFT, value__isnull=False
    )
    return ~Q(Exists(left))


MEASURES: tuple[Measure, ...] = (
    Measure(
        "mode",
        Table.REPAIRS,
        "Failure mode not known",
        "Without it nobody can tell what was noticed.",
        lambda _: Q(failure_mode__in=["", FailureMode.UNK, FailureMode.OTH]),
        OF_FAILURES,
        "failures",
    ),
    Measure(
        "item",
        Table.REPAIRS,
        "Failed item not known",
        "It decides which lives a failure belongs to.",
        lambda _: Q(item__in=["", Item.UNKNOWN]),
        OF_FAILURES,
        "failures",
    ),
    Measure(
        "mechanism",
        Table.REPAIRS,
        "Mechanism not known",
        "No cause can be sought without it.",
        lambda _: Q(mechanism__in=["", Mechanism.M6_4]),
        OF_FAILURES,
        "failures",
    ),
    Measure(
        "cause",
        Table.REPAIRS,
        "Cause not known",
        "What is not known cannot be put right.",
        lambda _: Q(cause__in=["", Cause.C5_6]),
        OF_FAILURES,
        "failures",
    ),
    Measure(
        "findings",
        Table.REPAIRS,
        "Findings still open",
        "Handed back, and nobody has signed yet what the teardown showed.",
        lambda _: Q(pk__in=findings_open().values("pk")),
        OF_FAILURES & Q(state=RepairState.SIGNED),
        "signed failures",
        is_open_work=True,
    ),
    Measure(
        "drafts",
        Table.REPAIRS,
        f"Drafts older than {OLD_DRAFT_DAYS} days",
        "Nobody stands for an unsigned repair, and memory fades.",
        lambda now: Q(reported_at__lt=now - timedelta(days=OLD_DRAFT_DAYS)),
        Q(state=RepairState.DRAFT),
        "drafts",
        is_open_work=True,
    ),
    Measure(
        "stopped",
        Table.REPAIRS,
        f"Stopped over {OPEN_STOP_DAYS} days without hand-back",
        "Either the position still stands or the hand-back was not entered.",
        lambda now: Q(
            returned_at=None, stopped_at__lt=now - timedelta(days=OPEN_STOP_DAYS)
        ),
        Q(stopped_at__isnull=False),
        "stoppages",
        is_open_work=True,
    ),
    Measure(
        "twins",
        Table.REPAIRS,
        "Possibly entered twice",
        "The same item of the same position, reported within a day: each counts.",
        _same_event,
    ),
    Measure(
        "plate",
        Table.REPAIRS,
        "Serial number not read",
        "Nobody saw which pump it was; the life may stand with another one.",
        lambda _: Q(plate_check=PlateCheck.NOT_READ),
    ),
    Measure(
        "cost",
        Table.REPAIRS,
        f"No booked cost after {ESTIMATE_STALE_DAYS} days",
        "The cost of bad actors is then ranked by guesses.",
        _only_estimates,
        Q(state=RepairState.SIGNED),
        "signed repairs",
    ),
    Measure(
        "unchecked",
        Table.REPAIRS,
        "No setting measured as left",
        "A short life after it cannot be traced to the bench.",
        _no_check,
        Q(item__in=[str(item) for item in COMPONENT_OF_ITEM], is_imported=False),
        "seal and bearing repairs logged here",
    ),
    Measure(
        "limits",
        Table.CHECKS,
        "Out of limit as left",
        "Handed back like that, with a reason: look for short lives after it.",
        lambda _: Q(value__gt=F("limit_high")) | Q(value__lt=F("limit_low")),
        Q(stage=CheckStage.LEFT, value__isnull=False),
        "settings measured as left",
    ),
    Measure(
        "unmeasured",
        Table.CHECKS,
        "Not measured",
        "A reason stands with each.",
        lambda _: Q(value__isnull=True),
        Q(stage=CheckStage.LEFT),
        "checks as left",
    ),
    Measure(
        "beginning",
        Table.LIVES,
        "Beginning not known",
        "Kept in counts, left out of every fit of age.",
        lambda _: Q(beginning=Beginning.UNKNOWN),
        out_of_words="fitted lives",
    ),
    Measure(
        "ending",
        Table.LIVES,
        "Ending not known",
        "Left out of fits: neither failed nor sound.",
        lambda _: Q(why_removed__in=["", WhyRemoved.UNKNOWN]),
        Q(removed_at__isnull=False),
        "lives that ended",
    ),
    Measure(
        "inspected",
        Table.LIVES,
        "Taken out and not inspected",
        "Counted as sound; some may have been near their end.",
        lambda _: Q(condition_found__in=["", ConditionFound.NOT_INSPECTED]),
        Q(removed_at__isnull=False),
        "lives that ended",
    ),
    Measure(
        "meter",
        Table.POSITIONS,
        f"No hour reading for {METER_SILENT_DAYS} days",
        "Running hours are estimated from calendar time and the running share.",
        _silent_meter,
        out_of_words="positions in service",
    ),
    Measure(
        "empty",
        Table.POSITIONS,
        "No pump on record",
        "Repairs there name no pump, and no life can be told.",
        lambda _: ~Q(Exists(_STANDING)),
        out_of_words="positions in service",
    ),
    Measure(
        "seal",
        Table.POSITIONS,
        "Pump without a seal on record",
        "A log of failures alone makes every life look shorter.",
        lambda _: ~Q(_open_component(Component.SEAL)),
        out_of_words="positions in service",
    ),
    Measure(
        "bearing",
        Table.POSITIONS,
        "Pump without a radial bearing on record",
        "A log of failures alone makes every life look shorter.",
        lambda _: ~Q(_open_component(Component.RADIAL)),
        out_of_words="positions in service",
    ),
    Measure(
        "duty",
        Table.POSITIONS,
        "Flow or best efficiency flow missing",
        "Nobody can tell how far the pump runs from best efficiency.",
        lambda _: Q(flow_m3_h=None) | Q(bep_flow_m3_h=None),
        out_of_words="positions in service",
    ),
)
BY_KEY = {measure.key: measure for measure in MEASURES}
