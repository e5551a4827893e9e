"""Time and peak memory of the cost files of 300,000 cost lines, each in its process.

The reference is a plain csv writer given the same rows from the same database. The
fleet is made once and used again: on PostgreSQL in a database of its own beside the
one that DATABASE_URL names, else as SQLite in the folder for temporary files.
"""

import os
import subprocess
import sys
import tempfile
import time
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from urllib.parse import urlsplit

ROOT = Path(__file__).resolve().parents[2]
LINES = int(os.environ.get("COST_LINES", "300000"))
LINES_A_REPAIR = 5
POSITIONS = 1_000
START = datetime(2021, 1, 1, 6, tzinfo=UTC)
QUESTION = {"start": "2021-01-01", "end": "2025-12-31"}
SECONDS, MEGABYTES = 30, 500
NAME = f"bench_cost_lines_{LINES}"
FILES = {
    "plain": "plain csv writer",
    "lines": "csv of all lines",
    "workbook": "workbook",
    "PDF": "PDF",
}
CHILD = """
import django
django.setup()
from tests.bench import cost_export
cost_export.{work}
"""


def say(words):
    sys.stdout.write(f"{words}\n")
    sys.stdout.flush()


def run():
    """Ratios and absolutes; DATABASE_URL chooses the engine, else SQLite."""
    given = os.environ.get("DATABASE_URL", "")
    where = {}
    if given:
        child({}, "database_make()")
        where["DATABASE_URL"] = urlsplit(given)._replace(path=f"/{NAME}").geturl()
    say(f"load of the computer {os.getloadavg()[0]:.1f}")
    started = time.perf_counter()
    child(where, "build()")
    say(f"the fleet was made or found in {time.perf_counter() - started:.0f} s")
    took = {}
    for name, title in FILES.items():
        took[name] = seconds, used, peak, size, rows = measured(where, name)
        say(
            f"{title} of {rows:,.0f} cost lines on {urlsplit(given).scheme or 'sqlite'}"
            f": {seconds:.1f} s by the clock, {used:.1f} s of the processor in this "
            f"process; peak {peak:.0f} MB; file {size:.1f} MB"
        )
    say(f"load of the computer {os.getloadavg()[0]:.1f}")
    return ratios(took)


def ratios(took):
    _, plain, *_ = took["plain"]
    seconds, used, peak, *_ = took["workbook"]
    return [
        *(
            (f"{FILES[name]} / plain csv writer, processor time", took[name][1] / plain)
            for name in ("lines", "workbook", "PDF")
        ),
        (f"workbook, seconds by the clock / {SECONDS} s allowed", seconds / SECONDS),
        (f"workbook, seconds of the processor / {SECONDS} s allowed", used / SECONDS),
        (f"workbook, peak memory / {MEGABYTES} MB allowed", peak / MEGABYTES),
    ]


def measured(where, name):
    return [float(word) for word in child(where, f"measure({name!r})").split()[-5:]]


def child(where, work):
    folder = Path(tempfile.gettempdir()) / f"logbook-{NAME}"
    folder.mkdir(exist_ok=True)
    environment = {
        **os.environ,
        "DATA_DIR": str(folder),
        "PYTHONPATH": str(ROOT),
        "DJANGO_SETTINGS_MODULE": "tests.settings",
        **where,
    }
    command = [sys.executable, "-c", CHILD.format(work=work)]
    done = subprocess.run(
        command,
        cwd=ROOT,
        env=environment,
        stdout=subprocess.PIPE,
        text=True,
        check=True,
    )
    return done.stdout


def database_make():
    from django.db import connection

    with connection.cursor() as cursor:
        cursor.execute("SELECT 1 FROM pg_database WHERE datname = %s", [NAME])
        if cursor.fetchone() is None:
            cursor.execute(f"CREATE DATABASE {connection.ops.quote_name(NAME)}")


def build():
    """Make the fleet whole or not at all; one that is there stays."""
    from django.core.management import call_command
    from django.db import connection, transaction

    from plant.models import Site

    call_command("migrate", verbosity=0, skip_checks=True)
    if Site.objects.exists():
        return
    with transaction.atomic():
        fleet_build()
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")


def fleet_build():
    """Positions with pumps, repairs that fill most columns, five cost lines each."""
    from plant.models import Area, Placement, Position, Pump, Site
    from records.models import CostLine, Repair
    from tests.factories.plant import UserFactory

    UserFactory(username="bench", role="manager")
    sites = [Site.objects.create(name=f"Bench works {n}") for n in range(2)]
    areas = [
        Area.objects.create(site=site, name=f"Area {n}")
        for site in sites
        for n in range(7)
    ]
    positions = Position.objects.bulk_create(
        Position(
            site=area.site, area=area, tag=f"P-{n:04d}", in_service_on=date(2020, 1, 1)
        )
        for n, area in ((n, areas[n % len(areas)]) for n in range(POSITIONS))
    )
    pumps = Pump.objects.bulk_create(
        Pump(site=position.site, serial_number=f"SN-{n:04d}")
        for n, position in enumerate(positions)
    )
    placed_at = datetime(2020, 1, 1, tzinfo=UTC)
    Placement.objects.bulk_create(
        Placement(position=position, pump=pump, placed_at=placed_at)
        for position, pump in zip(positions, pumps, strict=True)
    )
    repairs = Repair.objects.bulk_create(
        (
            repair(n, positions[n % POSITIONS], pumps[n % POSITIONS])
            for n in range(LINES // LINES_A_REPAIR)
        ),
        batch_size=2_000,
    )
    parts_build(pumps, repairs)
    CostLine.objects.bulk_create(
        (line(n, repairs[n // LINES_A_REPAIR]) for n in range(LINES)), batch_size=5_000
    )


def parts_build(pumps, repairs):
    """Each repair took one seal of its pump out."""
    from plant.choices import Component, Location
    from plant.models import FittedLife
    from records.choices import ChangeKind
    from records.models import ComponentChange

    lives = FittedLife.objects.bulk_create(
        (
            FittedLife(
                pump=pumps[n % POSITIONS],
                component=Component.SEAL,
                location=Location.SEAL_SINGLE_INNER,
                part_number=f"S-{n % 60}",
                fitted_at=repair.reported_at - timedelta(days=1),
                removed_at=repair.reported_at,
            )
            for n, repair in enumerate(repairs)
        ),
        batch_size=2_000,
    )
    ComponentChange.objects.bulk_create(
        (
            ComponentChange(repair=repair, life=life, change=ChangeKind.OUT)
            for repair, life in zip(repairs, lives, strict=True)
        ),
        batch_size=5_000,
    )


def repair(n, position, pump):
    from records.choices import Category, Cause, FailureMode, Item, Mechanism
    from records.models import Repair

    def one_of(choices):
        return choices.values[n % len(choices.values)]

    return Repair(
        site_id=position.site_id,
        number=f"R-{n:06d}",
        position=position,
        pump=pump,
        reported_at=START + timedelta(minutes=43 * n),
        category=one_of(Category),
        failure_mode=one_of(FailureMode),
        item=one_of(Item),
        mechanism=one_of(Mechanism),
        cause=one_of(Cause),
    )


def line(n, of_repair):
    from records.choices import CostKind, CostStatus
    from records.models import CostLine

    return CostLine(
        repair=of_repair,
        kind=CostKind.values[n % len(CostKind.values)],
        amount=Decimal(n % 99_991) / 100,
        currency="EUR",
        status=CostStatus.values[n % 7 == 0],
        booked_on=of_repair.reported_at.date() + timedelta(days=9),
        note=f"Invoice {n}, seal faces worn & renewed",
    )


def measure(name):
    """Seconds by the clock and of this process, megabytes at most, of the file; lines.

    The addresses are loaded before, as they are in a server that runs.
    """
    import resource

    from django.urls import reverse
    from django.utils import timezone

    from analytics.exports.cost_files import LINES as LINES_FILE
    from analytics.exports.cost_files import PDF, WORKBOOK
    from analytics.forms.costs import CostForm
    from plant.models import User

    reverse("analytics:costs")
    files = {"workbook": WORKBOOK, "PDF": PDF, "lines": LINES_FILE}
    form = CostForm(QUESTION, user=User.objects.get(username="bench"))
    assert form.is_answerable(), form.errors
    report = form.report()
    started, used = time.perf_counter(), time.process_time()
    with tempfile.TemporaryFile() as target:
        if name == "plain":
            plain_write(target, report)
        else:
            files[name].write(target, report, made_on=timezone.localtime())
        size = target.seek(0, os.SEEK_END)
    seconds, used = time.perf_counter() - started, time.process_time() - used
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    rows = report.lines.count()
    sys.stdout.write(f"\n{seconds} {used} {peak} {size / 1e6} {rows}\n")


def plain_write(target, report):
    import csv
    import io

    from analytics.exports.cost_lines import HEADER, cost_line_rows

    text = io.TextIOWrapper(target, encoding="utf-8", newline="", write_through=True)
    writer = csv.writer(text)
    writer.writerow(HEADER)
    writer.writerows(cost_line_rows(report.lines, report.treatment))
    text.flush()
    text.detach()
