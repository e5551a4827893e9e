"""The demo plant as the four tables of the import layout, and its hour readings."""

import csv
from collections import Counter
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np

from records.demo.history import History
from records.demo.layout import SITE, tanks_of
from records.demo.ledger import BEFORE_THE_LOG
from records.demo.state import DAYS, Spot, moment
from records.services.numbering import number_in_words

DAYS_BETWEEN_READINGS = 30.4375


def tables_of(history: History) -> dict[str, list[dict[str, str]]]:
    """Rows of the sheets `positions`, `pumps`, `components` and `repairs`."""
    start = history.ledger.start
    return {
        "positions": [position_row(spot, start) for spot in history.spots],
        "pumps": history.ledger.pumps,
        "components": history.ledger.components,
        "repairs": repair_rows(history),
    }


def position_row(spot: Spot, start: datetime) -> dict[str, str]:
    return {
        "site": SITE,
        "area": spot.area.name,
        "tag": spot.tag,
        "service": spot.duty.service,
        "liquid": spot.duty.liquid,
        "hazards": spot.duty.hazards,
        "criticality": spot.criticality,
        "sparing": "installed spare" if spot.spared else "none",
        "running_share": str(spot.share),
        "stopped_cost_per_hour": str(spot.stopped_cost),
        **tanks_of(spot.tag),
        "flow_m3_h": str(spot.flow),
        "bep_flow_m3_h": str(spot.bep_flow),
        "head_m": str(spot.head),
        "speed_rpm": str(spot.speed),
        "power_kw": f"{power_kw(spot):.1f}",
        "temperature_c": str(spot.duty.temperature_c),
        "density_kg_m3": str(spot.duty.density_kg_m3),
        "in_service_on": moment(start, BEFORE_THE_LOG)[:10],
        "spare_group": spot.spare_group,
        "needed_running": "1" if spot.spared else "",
        "records_from": start.strftime("%Y-%m-%d"),
        "piping_plan": spot.first_plan,
        "coupling": "spacer" if spot.spacer_mm else "short flexible",
        "spacer_length_mm": str(spot.spacer_mm) if spot.spacer_mm else "",
    }


def power_kw(spot: Spot) -> float:
    """Shaft power at 62 % pump efficiency, from flow, head and density."""
    watts = spot.duty.density_kg_m3 * 9.81 * spot.head * spot.flow / 3600
    return watts / 0.62 / 1000


def repair_rows(history: History) -> list[dict[str, str]]:
    """Repairs in the order of their reports, numbered as the log numbers them."""
    rows = []
    running: Counter[str] = Counter()
    for _day, row in sorted(history.ledger.repairs.rows, key=lambda entry: entry[0]):
        year = row["reported_at"][:4]
        running[year] += 1
        number = number_in_words(SITE, int(year), running[year])
        rows.append({"repair_number": number} | row)
    return rows


def hour_readings(history: History) -> Iterator[tuple[str, datetime, float]]:
    """Monthly meter readings: tag, local time, hours."""
    rng = np.random.default_rng(7)
    start = history.ledger.start
    for spot in history.spots:
        if not spot.has_meter:
            continue
        day = float(rng.uniform(0, 10))
        while day < DAYS:
            at = start + timedelta(days=day)
            yield (
                spot.tag,
                at.replace(minute=0, second=0, microsecond=0),
                round(spot.meter(day)),
            )
            day += DAYS_BETWEEN_READINGS


def tables_write(tables: dict[str, list[dict[str, str]]], folder: Path) -> None:
    """One CSV file a table, with every column that any of its rows has."""
    for name, rows in tables.items():
        columns = list(dict.fromkeys(column for row in rows for column in row))
        with (folder / f"{name}.csv").open("w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, columns, restval="")
            writer.writeheader()
            writer.writerows(rows)
