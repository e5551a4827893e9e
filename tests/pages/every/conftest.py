"""The demo plant behind a running server, loaded once for each file of this folder."""

from datetime import date

import pytest
from django.core.management import call_command
from django.db import transaction
from pytest_django.live_server_helper import LiveServer

from analytics.models import Review
from plant.access import shell_user
from plant.models import Job, User
from records.choices import RepairState
from records.demo.layout import SITE
from records.models import Repair
from tests.browser_support import DESKTOP, PHONE, TABLET, Watch, page_open
from tests.demo_plant import demo_put
from tests.factories.records import CostLineFactory, RepairFactory
from tests.pages.every.visiting import Screen
from tests.pages.permission_world import world_build, world_clear


@pytest.fixture(scope="module")
def db(django_db_setup, django_db_blocker):
    """Rows of the demo, stored for good and emptied at the end of the file.

    The name is pytest-django's: tables are made only where a test asks for `db`.
    """
    with django_db_blocker.unblock():
        with transaction.atomic():
            demo_put(end=date(2026, 6, 30))
        everyone = User.objects.create_superuser("everyone", password="not needed")
        rows = {**world_build(), **demo_rows(), "everyone": everyone}
        # A job shows itself to the one who asked for it.
        Job.objects.update(asked_by=everyone)
        yield rows
        world_clear(rows)
        call_command("flush", interactive=False, verbosity=0)


def demo_rows():
    """What `Row.of` names, as far as the demo has one with more to show."""
    signed = (
        Repair.objects.filter(state=RepairState.SIGNED, site__name=SITE)
        .exclude(pump=None)
        .latest("reported_at")
    )
    draft = RepairFactory(
        position=signed.position, pump=signed.pump, reported_at=signed.reported_at
    )
    return {
        "site": signed.site,
        "position": signed.position,
        "pump": signed.pump,
        "repair": draft,
        "signed_repair": signed,
        "cost_line": CostLineFactory(repair=draft),
        "review": Review.objects.create(
            site=signed.site, month=date(2026, 5, 1), opened_by=shell_user()
        ),
    }


@pytest.fixture(scope="module")
def server(db):
    server = LiveServer("localhost")
    yield server
    server.stop()


@pytest.fixture(scope="module")
def screens(browser, server, db):
    """A page on each screen, of somebody who may see everything."""
    found = {}
    for name, size in {"phone": PHONE, "tablet": TABLET, "desktop": DESKTOP}.items():
        watch = Watch(server.url)
        page = page_open(browser, watch, db["everyone"], size)
        found[name] = Screen(page, watch)
    return found


@pytest.fixture(scope="module")
def row_on_screens(request, screens, db):
    """One row of the page list, set out for on every screen at the same time.

    Its tests follow one another, so that each page is loaded once on each screen.
    """
    for screen in screens.values():
        screen.set_out(request.param, db)
    return screens
