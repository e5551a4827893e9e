"""What was so about a seal or bearing when it was fitted, as plain columns.

Facts of the life itself hold as of its fitting. Those of its position and pump are
as recorded now: the register keeps no copy of them for each life.
"""

from typing import Any

import pandas as pd
from django.db.models import QuerySet

from plant.models import FittedLife, Position, Pump, User
from records.selectors.lives import LifeTables

LIFE_FACTS = (
    *("pk", "arrangement", "kind", "faces", "secondary_seal"),
    *("lubrication", "bearing_arrangement", "temperature_c"),
)
POSITION_FACTS = {
    "pk": "position_id",
    "hazards": "hazards",
    "sparing": "sparing",
    "area__name": "area",
    "flow_m3_h": "flow_m3_h",
    "bep_flow_m3_h": "bep_flow_m3_h",
    "speed_rpm": "speed_rpm",
    "temperature_c": "temperature_of_position",
}
PUMP_FACTS = ("pk", "shaft_overhang_mm", "shaft_diameter_mm", "design")


def life_facts(*, user: User, tables: LifeTables, rows: pd.DataFrame) -> pd.DataFrame:
    """One row for each of `rows`, in their order, in three queries.

    `rows` names `life_id`, `position_id` and `pump_id` and holds the columns of
    `LifeTables.lives`, which stay.
    """
    components = rows["component"].unique().tolist()
    lives = _table(
        FittedLife.objects.visible_to(user).filter(component__in=components),
        LIFE_FACTS,
    ).rename(columns={"pk": "life_id"})
    positions = _table(tables.positions, tuple(POSITION_FACTS)).rename(
        columns=POSITION_FACTS
    )
    positions["position_id"] = positions["position_id"].astype("Int64")
    pumps = _table(Pump.objects.visible_to(user), PUMP_FACTS).rename(
        columns={"pk": "pump_id"}
    )
    # "liquid" and the like of the life are copied at its fitting and stand already.
    return (
        rows.merge(lives, on="life_id", how="left")
        .merge(positions, on="position_id", how="left")
        .merge(pumps, on="pump_id", how="left")
    )


def _table(
    found: QuerySet[FittedLife] | QuerySet[Position] | QuerySet[Pump],
    fields: tuple[str, ...],
) -> pd.DataFrame:
    rows: list[tuple[Any, ...]] = list(found.order_by().values_list(*fields))
    return pd.DataFrame.from_records(rows, columns=list(fields))
