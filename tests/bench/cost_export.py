"""Time and peak memory of the cost files of 300,000 cost lines, each in its process.

The reference is a plain csv writer given the same rows from the same database.
"""

import os
import subprocess
import sys
import tempfile
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
LINES = 300_000
LINES_A_REPAIR = 5
POSITIONS = 1_000
START = datetime(2021, 1, 1, 6, tzinfo=UTC)
QUESTION = {"start": "2021-01-01", "end": "2025-12-31"}
SECONDS, MEGABYTES = 30, 500
CHILD = """
import django
django.setup()
from tests.bench import cost_export
cost_export.{work}
"""


def run():
    """Ratios and absolutes; DATABASE_URL chooses the engine, else SQLite."""
    with tempfile.TemporaryDirectory(prefix="logbook-bench-") as folder:
        child(folder, "build()")
        took = {name: measured(folder, name) for name in ("plain", "lines", "workbook")}
        took["PDF"] = measured(folder, "PDF")
    engine = os.environ.get("DATABASE_URL", "sqlite").split(":")[0]
    for name, (seconds, used, peak, size) in took.items():
        sys.stdout.write(
            f"{name} of {LINES:,} cost lines on {engine}: {seconds:.1f} s, of which "
            f"{used:.1f} s of this process; peak {peak:.0f} MB; file {size:.1f} MB\n"
        )
    plain = took["plain"][0]
    seconds, _, peak, _ = took["workbook"]
    return [
        ("workbook / plain csv writer, seconds a line", seconds / plain),
        (
            "csv of all lines / plain csv writer, seconds a line",
            took["lines"][0] / plain,
        ),
        ("PDF / plain csv writer", took["PDF"][0] / plain),
        (f"workbook, seconds / {SECONDS} s allowed", seconds / SECONDS),
        (f"workbook, peak memory / {MEGABYTES} MB allowed", peak / MEGABYTES),
    ]


def measured(folder, name):
    return [float(word) for word in child(folder, f"measure({name!r})").split()[-4:]]


def child(folder, work):
    environment = {
        **os.environ,
        "DATA_DIR": folder,
        "PYTHONPATH": str(ROOT),
        "DJANGO_SETTINGS_MODULE": "tests.settings",
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


def build():
    from django.core.management import call_command
    from django.db import connection

    call_command("migrate", verbosity=0, skip_checks=True)
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
    """Seconds by the clock, of this process, peak megabytes, megabytes of the file."""
    import resource
    import time

    from django.utils import timezone

    from analytics.exports.cost_files import LINES as LINES_FILE
    from analytics.exports.cost_files import PDF, WORKBOOK
    from analytics.forms.costs import CostForm
    from plant.models import User

    files = {"workbook": WORKBOOK, "PDF": PDF, "lines": LINES_FILE}
    form = CostForm(QUESTION, user=User.objects.get(username="bench"))
    assert form.is_answerable(), form.errors
    started, used = time.perf_counter(), time.process_time()
    with tempfile.TemporaryFile() as target:
        report = form.report()
        if name == "plain":
            plain_write(target, report)
        else:
            files[name].write(target, report, made_on=timezone.localtime())
        size = target.seek(0, os.SEEK_END)
    seconds, used = time.perf_counter() - started, time.process_time() - used
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    sys.stdout.write(f"\n{seconds} {used} {peak} {size / 1e6}\n")


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
