"""A position with a pump whose as-new figures and rounds a test can say in full."""

from analytics.exposure import window_of_months
from analytics.scope import Scope
from tests.factories.energy import AcceptancePointFactory, day, round_of
from tests.factories.plant import DutyPeriodFactory, PlacementFactory

# The end of the rounds, and the day on which they are looked at.
NEWEST = 600
AS_OF = day(NEWEST + 10)
WINDOW = window_of_months(AS_OF.date(), 12)
# 1000 x 9.80665 x 60 / 3600 x 40 / 1000 kW of water at 60 m3/h and 40 m.
WATER_KW = 6.537767


def position_worn(*efficiencies, points=True, **fields):
    """Half the time running; a round every hundred days, the last one the newest."""
    usual = {"density_kg_m3": 1000.0, "site__energy_price_per_kwh": "0.1"}
    site = {k: usual.pop(k) for k in list(usual) if k.startswith("site__")}
    fields = usual | fields
    placement = PlacementFactory(
        **{f"position__{name}": value for name, value in fields.items()},
        **{f"position__area__{name}": value for name, value in site.items()},
    )
    position = placement.position
    DutyPeriodFactory(position=position, running_share=0.5)
    if points:
        as_new_store(placement.pump)
    days = range(NEWEST - 100 * (len(efficiencies) - 1), NEWEST + 1, 100)
    for number, efficiency in zip(days, efficiencies, strict=True):
        round_of(position, day(number), efficiency=efficiency)
    return position


def as_new_store(pump):
    """As new 70 % at 60 m3/h, and 66 % at 50 and at 70."""
    for flow, share in ((50.0, 0.66), (60.0, 0.70), (70.0, 0.66)):
        power = WATER_KW * flow / 60 / share
        AcceptancePointFactory(
            pump=pump,
            flow_m3_h=flow,
            head_m=40.0,
            shaft_power_kw=power,
            density_kg_m3=1000.0,
        )


def scope_of(user, position=None, confidence=0.90):
    return Scope(user, WINDOW, position=position, confidence=confidence)
