"""Puts the demo plant into an empty database, through the door of every import."""

from collections.abc import Callable
from datetime import date, datetime, time, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from zoneinfo import ZoneInfo

from django.contrib.auth.models import Group
from django.db import transaction
from simple_history.utils import bulk_create_with_history

from plant.models import DutyPeriod, Position, Site, User
from records.demo.acceptance import acceptance_points_store
from records.demo.bench import bench_store
from records.demo.drafts import drafts_log
from records.demo.history import History, history_make
from records.demo.layout import SITE, ZONE
from records.demo.money import (
    DISCOUNT_RATE,
    ENERGY_PRICE,
    money_tables_store,
)
from records.demo.people import DEMO_LOGINS
from records.demo.rounds import rounds_store
from records.demo.state import DAYS
from records.demo.tables import hour_readings, tables_of, tables_write
from records.importing.check import check_fleet
from records.importing.options import ReadOptions
from records.importing.reading import read_folder
from records.importing.store import store_fleet
from records.models import HourReading


class DemoRefused(Exception):
    """The database holds something that is not the demo's."""


def demo_is_loaded() -> bool:
    """Whether the demo stands here; refuses a database with other data.

    Raises
    ------
    DemoRefused
        When a site that is not the demo's exists.
    """
    other = Site.objects.exclude(name=SITE).first()
    if other is not None:
        raise DemoRefused(
            f"This database holds the site {other}: the demo is loaded only into a "
            "database of its own. Set DATABASE_URL or DATA_DIR to another place."
        )
    return Position.objects.filter(site__name=SITE).exists()


@transaction.atomic
def demo_load(
    *, by: User, ends_on: date, progress: Callable[[int, int, str], None] | None = None
) -> History:
    """Make six years of history up to `ends_on` and store them."""
    start = datetime.combine(ends_on, time()) - timedelta(days=DAYS)
    start = start.replace(hour=0, minute=0)
    site = Site.objects.create(
        name=SITE,
        time_zone=ZONE,
        records_from=start.date(),
        energy_price_per_kwh=ENERGY_PRICE,
        discount_rate=DISCOUNT_RATE,
    )
    history = history_make(start)
    options = ReadOptions()
    with TemporaryDirectory() as folder:
        tables_write(tables_of(history), Path(folder))
        checked = check_fleet(read_folder(Path(folder), options), options, by=by)
    if checked.faults:
        raise ValueError(f"The demo does not fit the import: {checked.faults[:3]}")
    store_fleet(checked, by=by, progress=progress)
    plan_changes_store(site, history, by)
    hours_store(site, history)
    people_make(site)
    morning = datetime.combine(ends_on, time(), tzinfo=ZoneInfo(ZONE))
    drafts_log(site, User.objects.get(username="planner"), morning)
    rounds_store(site, morning)
    acceptance_points_store(site, by, start.date())
    bench_store(site, by, morning)
    money_tables_store(by, ends_on)
    return history


def plan_changes_store(site: Site, history: History, by: User) -> None:
    """Dated facts of the positions whose piping plan was changed."""
    positions = {p.tag: p for p in Position.objects.filter(site=site)}
    shares = {spot.tag: spot.share for spot in history.spots}
    rows = [
        DutyPeriod(
            position=positions[tag],
            starts_on=(history.ledger.start + timedelta(days=day)).date(),
            running_share=shares[tag],
            piping_plan=plan,
        )
        for tag, day, plan in history.plan_changes
    ]
    bulk_create_with_history(rows, DutyPeriod, default_user=by)


def hours_store(site: Site, history: History) -> None:
    positions = {p.tag: p for p in Position.objects.filter(site=site)}
    zone = ZoneInfo(ZONE)
    HourReading.objects.bulk_create(
        (
            HourReading(
                position=positions[tag],
                read_at=at.replace(tzinfo=zone),
                meter_hours=hours,
            )
            for tag, at, hours in hour_readings(history)
        ),
        batch_size=2_000,
    )


def people_make(site: Site) -> None:
    """One log-in per role, all at the demo's site."""
    for login in DEMO_LOGINS:
        user = User.objects.create_user(login.username, password=login.password)
        user.is_staff = login.role == "administrator"
        user.save(update_fields=["is_staff"])
        user.groups.add(Group.objects.get(name=login.role))
        user.sites.add(site)
