"""A fleet made from one seed that holds every trap of adding up costs."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import numpy as np

from plant.choices import Component, Location
from records.choices import (
    Category,
    Cause,
    ChangeKind,
    CostKind,
    CostStatus,
    FailureMode,
    Item,
    Mechanism,
    RepairState,
)
from records.models import ComponentChange, CostLine, Repair
from tests.factories.plant import (
    AreaFactory,
    FittedLifeFactory,
    PositionFactory,
    PumpFactory,
    SiteFactory,
)

FIRST = datetime(2021, 1, 1, tzinfo=UTC)
DAYS = 4 * 365
CURRENCIES = ("EUR", "EUR", "EUR", "USD")
ITEMS = ("", Item.SEAL, Item.RADIAL_BEARING, Item.IMPELLER)
MODES = ("", FailureMode.ELP, FailureMode.VIB)
MECHANISMS = ("", Mechanism.M2_4, Mechanism.M1_1)
CAUSES = ("", Cause.C1_0)
PARTS = ("", "S-1", "S-2", "6310")


def made_fleet(repairs=160, seed=2024):
    """Three sites of two areas; returns the sites."""
    rng = np.random.default_rng(seed)
    sites = [SiteFactory(rework_window_days=days) for days in (30, 60, 30)]
    positions, pumps = [], {}
    for site in sites:
        for _ in range(2):
            area = AreaFactory(site=site)
            positions += [PositionFactory(area=area) for _ in range(2)]
        pumps[site.pk] = [PumpFactory(site=site) for _ in range(3)]
    made = [_repair(n, _one(rng, positions), pumps, rng) for n in range(repairs)]
    stoppages = [repair for place, repair in enumerate(made) if place % 6]
    Repair.objects.bulk_create(stoppages)
    _make_shop_work(made[::6], stoppages, rng)
    _name_parts(made, rng)
    for repair in made:
        _book(repair, rng)
    return sites


def _one(rng, choices):
    return choices[int(rng.integers(len(choices)))]


def _repair(number, position, pumps, rng):
    # To the minute, so that some fall into the last hours of a day elsewhere.
    reported = FIRST + timedelta(minutes=int(rng.integers(DAYS * 24 * 60)))
    is_void, is_back = rng.random() < 0.1, rng.random() < 0.7
    back = reported + timedelta(hours=int(rng.integers(90)))
    facts = {"state": RepairState.VOID, "void_reason": "Twice", "signed_at": reported}
    return Repair(
        site=position.site,
        position=position,
        pump=_one(rng, [None, *pumps[position.site_id]]),
        number=f"R-{number:04d}",
        reported_at=reported,
        stopped_at=reported,
        returned_at=back if is_back else None,
        category=_one(rng, Category.values),
        item=_one(rng, ITEMS),
        failure_mode=_one(rng, MODES),
        mechanism=_one(rng, MECHANISMS),
        cause=_one(rng, CAUSES),
        **(facts if is_void else {}),
    )


def _make_shop_work(shop_work, stoppages, rng):
    """Store the rest as shop work of some stoppage of the same position, or of none.

    Stored last: signed rows are never written twice.
    """
    for repair in shop_work:
        here = [own for own in stoppages if own.position_id == repair.position_id]
        repair.shop_work_of = _one(rng, [None, *here])
    Repair.objects.bulk_create(shop_work)


def _name_parts(made, rng):
    # What a signed repair took out is never added later.
    drafts = [repair for repair in made if repair.state == RepairState.DRAFT]
    for repair in drafts:
        for _ in range(int(rng.integers(4))):
            is_seal = rng.random() < 0.5
            life = FittedLifeFactory(
                pump=PumpFactory(site=repair.site),
                component=Component.SEAL if is_seal else Component.RADIAL,
                location=Location.SEAL_SINGLE_INNER if is_seal else Location.RADIAL_DE,
                part_number=_one(rng, PARTS) if is_seal else "",
                designation="" if is_seal else _one(rng, PARTS),
            )
            ComponentChange.objects.create(
                repair=repair, life=life, change=_one(rng, ChangeKind.values)
            )


def _book(repair, rng):
    """Some without cost, some late, some replaced once or twice, cents and credits."""
    for _ in range(int(rng.integers(5))):
        replaced = None
        for _ in range(1 + int(rng.random() < 0.3)):
            booked = repair.reported_at + timedelta(days=int(rng.integers(400)))
            replaced = CostLine.objects.create(
                repair=repair,
                kind=_one(rng, CostKind.values),
                amount=Decimal(int(rng.integers(-20_000, 900_000))) / 100,
                currency=_one(rng, CURRENCIES),
                status=_one(rng, CostStatus.values),
                booked_on=min(booked.date(), date(2025, 6, 30)),
                replaces=replaced,
            )
