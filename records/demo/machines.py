"""Pumps of the demo and the draws that say how long their parts last."""

import numpy as np

from records.demo.parts import Life
from records.demo.state import Machine, Spot
from records.demo.truths import TRAVEL_TAGS, TRAVELLER

SIZES = {25: "40-160", 40: "50-160", 60: "65-200", 90: "80-200", 140: "100-250"}
SHAFTS = {"40-160": (180.0, 32.0), "50-160": (190.0, 35.0), "65-200": (200.0, 40.0)}
LARGE_SHAFT = (220.0, 45.0)


def machine_make(number: int, spot: Spot) -> Machine:
    size = SIZES.get(int(spot.bep_flow), "125-250")
    overhang, shaft = SHAFTS.get(size, LARGE_SHAFT)
    pull_out = spot.tag in TRAVEL_TAGS
    return Machine(
        serial=f"HW-{number:04d}",
        assembly="back pull-out" if pull_out else "whole pump",
        size=size,
        overhang_mm=overhang,
        shaft_mm=shaft,
    )


def traveller_make(spot: Spot) -> Machine:
    """The back pull-out whose cover was never square."""
    machine = machine_make(0, spot)
    machine.serial = TRAVELLER
    machine.life_factor = 0.1
    return machine


def life_draw(
    rng: np.random.Generator, life: Life, *, age: float = 0.0, factor: float = 1.0
) -> float:
    """Running hours at failure, given that `age` was reached."""
    scale = life.scale * factor
    hazard = (age / scale) ** life.shape + rng.exponential()
    return float(scale * hazard ** (1 / life.shape))
