"""Checks, patterns and open findings of the demo's repairs, from their own generator.

Two truths lie in them: the travelling pull-out has a cover out of square, and where
seals die young after fitting the coupling was left out of line.
"""

from collections.abc import Iterator
from datetime import datetime, timedelta

import numpy as np
from django.db.models import QuerySet
from simple_history.utils import bulk_create_with_history, bulk_update_with_history

from plant.models import Site, User
from records.check_catalogue import CATALOGUE
from records.check_choices import CheckKind, CheckStage
from records.choices import Item, RepairState
from records.demo.truths import TRAVELLER
from records.models import Repair, SettingCheck, TeardownFinding
from records.selectors.check_limits import OfferedCheck, is_offered, limit_now
from records.services.correction_door import correction_door
from records.services.half_done import FAILURES
from records.teardown_patterns import PATTERNS

SEED = 4102
BADLY_ALIGNED_AREA = "Chlorination"
SHARE_MEASURED = 0.6
SHARE_BADLY_ALIGNED = 0.7
SHARE_WITH_PATTERN = 0.65
FINDINGS_STILL_OUT = timedelta(days=330)
MEASURED = (
    CheckKind.SHAFT_RUNOUT,
    CheckKind.SLEEVE_RUNOUT,
    CheckKind.SQUARENESS,
    CheckKind.END_PLAY,
    CheckKind.OFFSET,
    CheckKind.ANGULARITY,
)
COVER_REASON = "Cover runs out; no other cover in the store."
PIPE_REASON = "Pipework pulls the pump; left for the next stop of the unit."


def bench_store(site: Site, by: User, ends_at: datetime) -> None:
    """Store what the bench measured and saw at the repairs of the demo."""
    rng = np.random.default_rng(SEED)
    worked_on = Repair.objects.filter(
        site=site,
        state=RepairState.SIGNED,
        returned_at__isnull=False,
        item__in=[Item.SEAL, Item.RADIAL_BEARING, Item.THRUST_BEARING],
    )
    repairs = list(
        worked_on.select_related("position__area", "pump").order_by("number")
    )
    checks = [check for repair in repairs for check in _checks(repair, by, rng)]
    patterns = [row for repair in repairs for row in _patterns(repair, rng)]
    with correction_door():
        bulk_create_with_history(checks, SettingCheck, default_user=by)
        bulk_create_with_history(patterns, TeardownFinding, default_user=by)
    findings_leave_open(worked_on, by, ends_at)


def findings_leave_open(rows: QuerySet[Repair], by: User, ends_at: datetime) -> None:
    """Recent failures without a mechanism: not imported as known, but still out."""
    late = list(
        rows.filter(
            category__in=FAILURES,
            mechanism="",
            reported_at__gt=ends_at - FINDINGS_STILL_OUT,
        )
    )
    for repair in late:
        repair.is_imported = False
    with correction_door():
        bulk_update_with_history(late, Repair, ["is_imported"], default_user=by)


def _checks(
    repair: Repair, by: User, rng: np.random.Generator
) -> Iterator[SettingCheck]:
    is_traveller = repair.pump is not None and repair.pump.serial_number == TRAVELLER
    is_measured = rng.random() < SHARE_MEASURED
    if not is_measured and not is_traveller:
        return
    for kind in MEASURED:
        if not is_offered(kind, repair.position, repair.pump):
            continue
        limit = limit_now(kind, repair.position, repair.pump, [])
        value, reason = _measured(repair, limit, is_traveller, rng)
        yield SettingCheck(
            repair=repair,
            kind=kind,
            stage=CheckStage.LEFT,
            value=value,
            entered_value=f"{value:g}",
            entered_unit=CATALOGUE[kind].unit,
            limit_low=limit.low,
            limit_high=limit.high,
            limit_source=limit.source[:200],
            out_of_limit_reason=reason,
            entered_by=by,
            measured_at=repair.returned_at,
        )


def _measured(
    repair: Repair, limit: OfferedCheck, is_traveller: bool, rng: np.random.Generator
) -> tuple[float, str]:
    """A value to the hundredth of a millimetre, and why it stays if out of limit."""
    share, reason = float(rng.uniform(0.2, 0.95)), ""
    in_bad_area = repair.position.area.name == BADLY_ALIGNED_AREA
    is_aligned_badly = in_bad_area and rng.random() < SHARE_BADLY_ALIGNED
    if limit.kind == CheckKind.SQUARENESS and is_traveller:
        share, reason = float(rng.uniform(2.5, 3.2)), COVER_REASON
    elif limit.kind == CheckKind.OFFSET and is_aligned_badly:
        share, reason = float(rng.uniform(1.4, 2.8)), PIPE_REASON
    value = share * (limit.high or 0.1)
    # A dial indicator is read to the hundredth; in limit stays in limit.
    return (round(value + 0.005, 2) if reason else _rounded_down(value)), reason


def _rounded_down(value: float) -> float:
    return float(np.floor(value * 100) / 100)


def _patterns(repair: Repair, rng: np.random.Generator) -> Iterator[TeardownFinding]:
    """One pattern that fits item and mechanism, where somebody looked."""
    if rng.random() > SHARE_WITH_PATTERN or repair.category not in FAILURES:
        return
    fitting = [
        pattern
        for pattern in PATTERNS
        if repair.item in pattern.items and repair.mechanism in pattern.mechanisms
    ]
    if fitting:
        pattern = fitting[int(rng.integers(len(fitting)))]
        yield TeardownFinding(repair=repair, pattern=pattern.code)
