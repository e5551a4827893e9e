"""Time and peak memory of importing 100,000 repairs with the command."""

import csv
import os
import subprocess
import sys
import tempfile
from datetime import datetime, timedelta
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PUMPS = 500
REPAIRS = 100_000
LIVES_PER_PUMP = 10
START = datetime(2010, 1, 1, 6)
CHILD = """
import os, resource, sys, time
os.environ["DJANGO_SETTINGS_MODULE"] = "tests.settings"
import django
django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0, skip_checks=True)
started, used = time.perf_counter(), time.process_time()
call_command("import_fleet", sys.argv[1], stdout=sys.stderr)
seconds, used = time.perf_counter() - started, time.process_time() - used
peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
print(f"{seconds} {used} {peak / 1024}")
"""


def write(folder: Path, sheet: str, rows: list[dict[str, object]]) -> None:
    with (folder / f"{sheet}.csv").open("w", newline="", encoding="utf-8") as opened:
        writer = csv.DictWriter(opened, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)


def fleet_write(folder: Path) -> None:
    """A fleet whose repairs fill most columns, as a real log does."""
    write(folder, "positions", [_position(n) for n in range(PUMPS)])
    write(folder, "pumps", [_pump(n) for n in range(PUMPS)])
    lives = [_life(n, k) for n in range(PUMPS) for k in range(LIVES_PER_PUMP)]
    write(folder, "components", lives)
    write(folder, "repairs", [_repair(n) for n in range(REPAIRS)])


def _position(n: int) -> dict[str, object]:
    return {
        "site": "Bench works",
        "area": f"Area {n % 7}",
        "tag": f"P-{n:04d}",
        "service": "transfer",
        "liquid": "brine",
        "hazards": "corrosive;hot",
        "running_share": 0.8,
        "in_service_on": "2009-01-01",
    }


def _pump(n: int) -> dict[str, object]:
    return {
        "serial_number": f"SN-{n:04d}",
        "design": "overhung end suction",
        "tag": f"P-{n:04d}",
        "placed_on": "2009-01-01",
    }


def _life(n: int, k: int) -> dict[str, object]:
    fitted = START + timedelta(days=400 * k)
    return {
        "serial_number": f"SN-{n:04d}",
        "component": "seal",
        "fitted_on": fitted.strftime("%Y-%m-%d %H:%M"),
        "beginning": "known",
        "removed_on": (fitted + timedelta(days=399)).strftime("%Y-%m-%d %H:%M"),
        "reason_out": "failed",
        "part_number": "S-40",
        "piping_plan": "11",
    }


def _repair(n: int) -> dict[str, object]:
    reported = START + timedelta(minutes=80 * n)
    stopped = reported + timedelta(hours=1)
    return {
        "repair_number": f"R-{n:06d}",
        "tag": f"P-{n % PUMPS:04d}",
        "serial_number": f"SN-{n % PUMPS:04d}",
        "reported_at": reported.strftime("%Y-%m-%d %H:%M"),
        "stopped_at": stopped.strftime("%Y-%m-%d %H:%M"),
        "returned_at": (stopped + timedelta(hours=30)).strftime("%Y-%m-%d %H:%M"),
        "work_class": "corrective",
        "activity": "replace, same type",
        "operating_state": "running",
        "release": "none",
        "failure_mode": "ELP",
        "impact": "critical",
        "item": "mechanical seal",
        "mechanism": "2.4",
        "cause": "3.4",
        "detection": "casual observation",
        "active_hours": 6 + n % 5,
        "labour_cost": f"{400 + n % 90}.50",
        "parts_cost": 1500 + n % 300,
        "lost_production_cost": 0 if n % 3 else 12000,
        "currency": "EUR",
        "text": f"Leak at the drive end, seal {n} renewed, faces worn.",
    }


def run() -> None:
    """Print time and peak memory; DATABASE_URL chooses the engine."""
    with tempfile.TemporaryDirectory(prefix="logbook-bench-") as folder:
        fleet_write(Path(folder))
        done = subprocess.run(
            [sys.executable, "-c", CHILD, folder],
            cwd=ROOT,
            env={**os.environ, "DATA_DIR": folder, "PYTHONPATH": str(ROOT)},
            stdout=subprocess.PIPE,
            text=True,
            check=True,
        )
    seconds, used, megabytes = done.stdout.split()[-3:]
    engine = os.environ.get("DATABASE_URL", "sqlite").split(":")[0]
    sys.stdout.write(
        f"import of {REPAIRS:,} repairs on {engine}: {float(seconds):.1f} s, "
        f"of which {float(used):.1f} s of this process, "
        f"peak {float(megabytes):.0f} MB\n"
    )
