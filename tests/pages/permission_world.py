"""One site with one of everything, and one person of each role."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from types import SimpleNamespace
from typing import Any
from urllib.parse import urlencode

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import connection, transaction
from django.test import Client
from django.urls import reverse

from analytics.models import Review
from analytics.tasks import WORKBOOK_KIND, workbook_path
from plant.models import FittedLife, Job, Position, Site
from plant.tags.labels import code_of
from records.action_choices import ActionState
from records.check_choices import Certainty, CheckKind
from records.choices import RepairState
from records.models import CheckLimit, ExchangeRate, FleetImport, PriceLevel, Repair
from records.selectors.repairs import repair_version
from records.selectors.upgrade_cases import upgrade_case_version
from tests.conftest import logged_in
from tests.factories.actions import ActionFactory
from tests.factories.energy import AcceptancePointFactory
from tests.factories.plant import (
    AreaFactory,
    FittedLifeFactory,
    PlacementFactory,
    PositionFactory,
    PumpFactory,
    SiteFactory,
    UserFactory,
)
from tests.factories.records import CostLineFactory, ReadingFactory, RepairFactory
from tests.factories.tablet import PhotoFactory, question_build
from tests.factories.upgrades import UpgradeCaseFactory
from tests.pages.permission_rows import ROLES, Row

GROUPS = {
    "planner": "planner",
    "engineer": "reliability engineer",
    "manager": "manager",
    "administrator": "administrator",
    "planner of another site": "planner",
}


def world_build() -> dict[str, Any]:
    """The rows that addresses are about, by the name that `Row.of` uses."""
    site = SiteFactory(name="Marsh works", records_from=date(2020, 1, 1))
    area = AreaFactory(site=site)
    position = PositionFactory(area=area, tag="P-101A")
    placement = PlacementFactory(position=position)
    seal = FittedLifeFactory(pump=placement.pump, position=position)
    repair = RepairFactory(position=position, pump=placement.pump)
    signed = RepairFactory(
        position=position,
        pump=placement.pump,
        state=RepairState.SIGNED,
        signed_at=datetime(2024, 4, 1, tzinfo=UTC),
    )
    job = Job.objects.create(kind=WORKBOOK_KIND, state=Job.State.DONE, sites=[site.pk])
    default_storage.delete(workbook_path(job))
    default_storage.save(workbook_path(job), ContentFile(b"a workbook"))
    fleet_import = FleetImport.objects.create(state=FleetImport.State.READY)
    fleet_import.sites.add(site)
    return {
        "import": fleet_import,
        "job_of_manager": job,
        "site": site,
        "area": area,
        "position": position,
        **actions_build(position),
        "empty_position": PositionFactory(area=area, tag="P-101B"),
        "pump": placement.pump,
        "pump_in_store": PumpFactory(site=site),
        "repair": repair,
        "signed_repair": signed,
        **tablet_build(seal, repair),
        "draft": SimpleNamespace(version=repair_version(repair)),
        "signed": SimpleNamespace(version=repair_version(signed)),
        **measured_build(repair),
        **month_build(site),
        **money_build(),
        **upgrades_build(position),
        "position_code": SimpleNamespace(pk=code_of(position).ending),
        "pump_code": SimpleNamespace(pk=code_of(placement.pump).ending),
    }


def measured_build(repair: Repair) -> dict[str, Any]:
    """A cost line, a reading at the position and an acceptance point of the pump."""
    return {
        "cost_line": CostLineFactory(repair=repair),
        "reading": ReadingFactory(position=repair.position),
        "acceptance_point": AcceptancePointFactory(pump=repair.pump),
    }


def month_build(site: Site) -> dict[str, Any]:
    """A review of one month, and a limit that the site set itself."""
    return {
        "review": Review.objects.create(
            site=site, month=date(2024, 3, 1), opened_by=UserFactory()
        ),
        "limit": CheckLimit.objects.create(
            site=site,
            kind=CheckKind.END_PLAY,
            high=0.08,
            source="Drawing 4",
            certainty=Certainty.SITE,
        ),
    }


def money_build() -> dict[str, Any]:
    """A rate of exchange and a price level."""
    rate = ExchangeRate.objects.create(
        year=1999, currency="USD", into="EUR", rate="0.9386"
    )
    level = PriceLevel.objects.create(year=1999, currency="EUR", level="64.2")
    return {"exchange_rate": rate, "price_level": level}


def upgrades_build(position: Position) -> dict[str, Any]:
    """An upgrade case that can be worked out, and one that was withdrawn."""
    facts = {"site": position.site, "positions": [position]}
    typed = {"ratio_from": "typed", "typed_ratio": "0.5", "repair_cost": "3000"}
    case = UpgradeCaseFactory(as_of=date(2024, 6, 1), assumptions=typed, **facts)
    return {
        "upgrade_case": case,
        "case_version": SimpleNamespace(number=upgrade_case_version(case)),
        "withdrawn_case": UpgradeCaseFactory(withdrawn=True, **facts),
    }


def actions_build(position: Position) -> dict[str, Any]:
    """An open action and one that is done, both about the position."""
    action = ActionFactory(site=position.site, positions=[position])
    done = ActionFactory(
        site=position.site,
        positions=[position],
        state=ActionState.DONE,
        done_on=date(2024, 5, 1),
    )
    return {"action": action, "done_action": done, "owner": action.owner}


def tablet_build(seal: FittedLife, repair: Repair) -> dict[str, Any]:
    """A log of a tablet that asks something, and a photo of the repair."""
    entry = question_build(seal, repair)
    return {
        "tablet_entry": entry,
        "entry_key": SimpleNamespace(pk=entry.key),
        "photo": PhotoFactory(repair=repair),
    }


def world_clear(world: dict[str, Any]) -> None:
    """Take the file away that `world_build` stored; no rollback does that."""
    default_storage.delete(workbook_path(world["job_of_manager"]))
    default_storage.delete(world["photo"].picture.name)


@contextmanager
def world_standing() -> Iterator[dict[str, Any]]:
    """The world for all tests of a file, each of which undoes what it stored."""
    with transaction.atomic():
        world = world_build()
        # Else PostgreSQL asks once more about each row at the end of every test.
        connection.check_constraints()
        yield world
        world_clear(world)
        transaction.set_rollback(True)


def has_its_files(world: dict[str, Any]) -> bool:
    """Whether the files are there that `world_build` stored."""
    return default_storage.exists(
        workbook_path(world["job_of_manager"])
    ) and default_storage.exists(world["photo"].picture.name)


def people_build(world: dict[str, Any]) -> dict[str, Client]:
    """A browser for each of ROLES; the last works at another site only."""
    site, job = world["site"], world["job_of_manager"]
    browsers = {"logged out": Client()}
    for role, group in GROUPS.items():
        user = UserFactory(
            role=group, sees_all_sites=False, is_staff=group == "administrator"
        )
        user.sites.add(SiteFactory() if role == ROLES[-1] else site)
        browsers[role] = logged_in(user)
        if role == "manager":
            job.asked_by = user
            job.save()
    return browsers


def address(row: Row, world: dict[str, Any]) -> str:
    parts = row.of if isinstance(row.of, dict) else {"pk": row.of} if row.of else {}
    path = reverse(row.name, kwargs={k: _part(v, world) for k, v in parts.items()})
    return f"{path}?{urlencode(looked_up(row.query, world))}" if row.query else path


def _part(name: str, world: dict[str, Any]) -> Any:
    return name[1:] if name.startswith("=") else world[name].pk


def looked_up(values: dict[str, object], world: dict[str, Any]) -> dict[str, Any]:
    """The same values; one such as `area.pk` is looked up in the world."""
    return {name: _value(value, world) for name, value in values.items()}


def _value(value: Any, world: dict[str, Any]) -> Any:
    name, dot, attribute = str(value).partition(".")
    if dot and name in world:
        return getattr(world[name], attribute)
    return value
