"""Cost lines of the generated fleet."""

from collections.abc import Iterator
from datetime import date, timedelta
from decimal import Decimal

import numpy as np
import pandas as pd

from records.choices import CostKind, CostStatus
from records.demo.big_fleet_events import OTHER
from records.demo.big_fleet_plan import DAYS
from records.demo.big_fleet_register import Clock
from records.models import CostLine

ESTIMATED_FOR = 40.0


def cost_rows(
    rng: np.random.Generator,
    repairs: pd.DataFrame,
    repair_keys: list[int],
    clock: Clock,
    ends_on: date,
) -> Iterator[CostLine]:
    """Labour, parts where some were fitted, lost production now and then."""
    hours = (repairs["returned"] - repairs["stopped"]).to_numpy() * 12
    amounts = {
        CostKind.LABOUR: hours * 70.0,
        CostKind.PARTS: rng.uniform(100, 3_000, len(repairs)),
        CostKind.LOST_PRODUCTION: hours * rng.uniform(100, 600, len(repairs)),
    }
    has_parts = (repairs["stream"] != OTHER).to_numpy()
    has_loss = rng.random(len(repairs)) < 0.12
    for index, back in enumerate(repairs["returned"].tolist()):
        if back >= DAYS:
            continue
        booked = clock.at(back).date() + timedelta(days=10)
        late = back > DAYS - ESTIMATED_FOR
        for kind, amount in amounts.items():
            if kind == CostKind.PARTS and not has_parts[index]:
                continue
            if kind == CostKind.LOST_PRODUCTION and not has_loss[index]:
                continue
            yield CostLine(
                repair_id=repair_keys[index],
                kind=kind,
                amount=Decimal(f"{amount[index]:.2f}"),
                currency="EUR",
                status=CostStatus.ESTIMATE if late else CostStatus.BOOKED,
                booked_on=min(booked, ends_on),
            )
