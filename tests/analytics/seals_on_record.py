"""Seals on record for the pages about life, and what the pages answered."""

import csv
import io
import re
from datetime import UTC, datetime, timedelta

from plant.choices import (
    WhyRemoved,
)
from tests.factories.plant import (
    FittedLifeFactory,
    PlacementFactory,
)

FITTED = datetime(2020, 1, 1, tzinfo=UTC)
DAY = timedelta(days=1)
FAILED = {"why_removed": WhyRemoved.DEFECT, "defect_detected": True}
# Ages of pump A and B: Barringer, Weibull analysis of pump seal life.
PUMP_A = [14400, 19800, 21300, 23600, 24300, 28100, 29600, 29600, 34200, 38000]
PUMP_B = [2200, 3800, 4600, 5000, 6700, 7500, 7800, 8000, 11000, 12900]


def fitted(hours=None, **facts):
    """A seal at a position of its own, taken out failed after so many hours."""
    if hours is not None:
        facts = {
            "fitted_hours": 0.0,
            "removed_hours": float(hours),
            "removed_at": facts.get("fitted_at", FITTED) + hours / 24 * DAY,
            **FAILED,
            **facts,
        }
    placement = PlacementFactory(placed_at=FITTED)
    facts = {"pump": placement.pump, "position": placement.position, **facts}
    return FittedLifeFactory(**{"fitted_at": FITTED, "part_number": "MS-40", **facts})


def seals(ages, **facts):
    return [fitted(age, **facts) for age in ages]


def page_of(client, query=""):
    response = client.get(f"/life/{query}")
    assert response.status_code == 200
    return re.sub(r"\s+", " ", response.content.decode())


def rows_of(response):
    text = b"".join(response.streaming_content).decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text)))
