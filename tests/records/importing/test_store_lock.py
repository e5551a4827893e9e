"""An import is checked before it takes the lock, and again only when it must be."""

import pytest
from django.db import connection

from plant.models import Area, Position, Site
from records.importing import jobs
from records.importing.fingerprint import fingerprint_of
from records.models import FleetImport
from tests.factories.plant import AreaFactory, PositionFactory, SiteFactory
from tests.records.importing.sending import sent
from tests.records.importing.sheets import as_csv, fleet

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _own_files(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def depths(monkeypatch):
    """How deep in transactions each check ran, the test's own not counted."""
    own, found = len(connection.savepoint_ids), []

    def noted(*args, **options):
        found.append(len(connection.savepoint_ids) - own)
        return check_fleet(*args, **options)

    check_fleet = jobs.check_fleet
    monkeypatch.setattr(jobs, "check_fleet", noted)
    return found


def confirmed(client, administrator):
    kept = sent(client, as_csv(fleet()))
    jobs.import_confirm(by=administrator, fleet_import=kept)
    return kept


def test_without_other_changes_nothing_is_checked_under_the_lock(
    administrator, administrator_client, depths
):
    kept = confirmed(administrator_client, administrator)
    depths.clear()
    jobs.import_store(kept.pk, administrator.pk)
    assert depths == [0]
    kept.refresh_from_db()
    assert kept.state == FleetImport.State.STORED


def test_a_change_after_the_check_is_checked_again_under_the_lock(
    administrator, administrator_client, depths, monkeypatch
):
    kept = confirmed(administrator_client, administrator)
    depths.clear()

    def meanwhile(_watched, _rows):
        site = SiteFactory(name="North works")
        PositionFactory(area__site=site, area__name="Acids", tag="P-101A")

    monkeypatch.setattr(jobs._Watched, "expect", meanwhile)
    jobs.import_store(kept.pk, administrator.pk)
    assert depths == [0, 1]
    kept.refresh_from_db()
    assert kept.state == FleetImport.State.STORED
    assert Position.objects.count() == 2


@pytest.mark.parametrize("change", ["new area", "renamed area", "renamed site"])
def test_the_fingerprint_tells_changes(administrator, change):
    area = AreaFactory(name="Acids")
    before = fingerprint_of(administrator)
    assert fingerprint_of(administrator) == before
    if change == "new area":
        Area.objects.create(site=area.site, name="Amines")
    elif change == "renamed area":
        Area.objects.filter(pk=area.pk).update(name="Amines")
    else:
        site = Site.objects.get(pk=area.site_id)
        site.name = "South works"
        site.save()
    assert fingerprint_of(administrator) != before
