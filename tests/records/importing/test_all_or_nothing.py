"""An import is stored whole by whoever may, or not at all."""

import pytest
from django.contrib.auth.models import Permission
from django.core.exceptions import PermissionDenied, ValidationError
from django.db import IntegrityError

from plant.access import shell_user
from plant.models import Area, FittedLife, Position, Pump, Site
from records.importing import store
from records.importing.options import ReadOptions
from records.models import Repair
from tests.factories.plant import PositionFactory, SiteFactory, UserFactory
from tests.factories.records import RepairFactory
from tests.records.importing.sheets import as_csv, checked, faults, fleet, stored

pytestmark = pytest.mark.django_db

TABLES = (Site, Area, Position, Pump, FittedLife, Repair)


def rows():
    """Rows of each table and of its history, where it has one."""
    return [
        (model.objects.count(), model.history.count() if model is not Area else 0)
        for model in TABLES
    ]


@pytest.fixture
def one_site_importer(db):
    user = UserFactory(role="administrator", sees_all_sites=False)
    user.sites.add(SiteFactory(name="North works"))
    return user


def test_a_failure_half_way_leaves_nothing(monkeypatch):
    before = rows()
    found = checked(as_csv(fleet()), shell_user())

    def fails(*args, **kwargs):
        assert FittedLife.objects.count() == 2
        raise RuntimeError("the disk is full")

    monkeypatch.setattr(store.repair_rows, "repairs_store", fails)
    with pytest.raises(RuntimeError):
        store.store_fleet(found, by=shell_user())
    assert rows() == before


def test_a_conflict_with_somebody_quicker_leaves_nothing_and_says_so(monkeypatch):
    found = checked(as_csv(fleet()), shell_user())
    SiteFactory(name="North works")
    before = rows()
    with pytest.raises(ValidationError) as refusal:
        store.store_fleet(found, by=shell_user())
    assert refusal.value.messages == [
        "Somebody changed the same rows meanwhile; nothing was stored. Check the files "
        "again."
    ]
    assert isinstance(refusal.value.__cause__, IntegrityError)
    assert rows() == before


def test_a_repair_number_taken_meanwhile_is_a_conflict_too():
    tables = fleet()
    repairs = {"repairs": tables.pop("repairs")}
    stored(as_csv(tables), shell_user())
    found = checked(as_csv(repairs), shell_user())
    RepairFactory(position=Position.objects.get(tag="P-101B"), number="R-1")
    with pytest.raises(ValidationError, match="nothing was stored"):
        store.store_fleet(found, by=shell_user())
    assert Repair.objects.count() == 1


def test_faults_are_not_stored():
    found = checked(as_csv(fleet(repairs__1__item="wheel")), shell_user())
    with pytest.raises(ValidationError, match="mend them first"):
        store.store_fleet(found, by=shell_user())
    assert not Position.objects.exists()


@pytest.mark.parametrize("role", ["planner", "reliability engineer", "manager"])
def test_other_roles_neither_check_nor_store(role):
    found = checked(as_csv(fleet()), shell_user())
    user = UserFactory(role=role)
    with pytest.raises(PermissionDenied):
        checked(as_csv(fleet()), user)
    with pytest.raises(PermissionDenied):
        store.store_fleet(found, by=user)
    assert not Position.objects.exists()


def test_rows_of_a_site_that_is_not_the_users_are_faults(one_site_importer):
    SiteFactory(name="South works")
    tables = fleet(positions__1__site="South works")
    found = faults(as_csv(tables), one_site_importer)
    assert found == [
        (
            "positions",
            2,
            "site",
            "You do not work at South works: leave its rows out.",
        )
    ]


def test_tags_of_other_sites_are_not_found(one_site_importer):
    PositionFactory(area__site__name="South works", tag="P-9")
    heading = fleet()["repairs"][0]
    line = ["R-1", "P-9", "", "2021-03-01", "", "", "preventive", *[""] * 5]
    found = faults(as_csv({"repairs": [heading, line]}), one_site_importer)
    assert found[0][:3] == ("repairs", 2, "tag")
    assert found[0][3].startswith("No such tag")


def test_a_new_site_becomes_one_of_the_importers_own(one_site_importer):
    tables = fleet(positions__1__site="East works", pumps__1__site="East works")
    stored(as_csv(tables), one_site_importer)
    assert {s.name for s in one_site_importer.sites.all()} == {
        "North works",
        "East works",
    }


def test_a_new_site_needs_the_right_to_add_one(one_site_importer):
    one_site_importer.groups.clear()
    one_site_importer.user_permissions.add(
        Permission.objects.get(codename="import_fleet")
    )
    tables = fleet(positions__1__site="East works")
    found = faults(as_csv(tables), type(one_site_importer).objects.get())
    assert found == [
        (
            "positions",
            2,
            "site",
            "There is no such site, and you may not add one: correct the name.",
        )
    ]


@pytest.mark.parametrize(
    ("options", "sentence"),
    [
        ({"separator": "|"}, "No such separator: '|'. Choose auto or , or ;"),
        ({"decimal": "x"}, "No such decimal sign: 'x'. Choose auto or . or ,"),
        ({"date_order": "ymd"}, "No such date order: 'ymd'. Choose iso or dmy or mdy"),
        (
            {"encoding": "klingon"},
            "No such encoding: 'klingon'. Try utf-8, cp1252 or utf-16.",
        ),
        (
            {"encoding": "base64"},
            "No such encoding: 'base64'. Try utf-8, cp1252 or utf-16.",
        ),
    ],
)
def test_ways_of_reading_that_do_not_exist_are_refused(options, sentence):
    with pytest.raises(ValidationError) as refusal:
        ReadOptions(**options)
    assert refusal.value.messages == [sentence]
