"""Areas and positions of the invented works."""

from dataclasses import dataclass

import numpy as np

from records.demo import parts
from records.demo.parts import BearingPart, SealPart
from records.demo.state import Spot

SITE = "Halvermouth Works"
ZONE = "Europe/Amsterdam"


@dataclass(frozen=True, slots=True)
class Duty:
    service: str
    liquid: str
    hazards: str
    temperature_c: int
    density_kg_m3: int


@dataclass(frozen=True, slots=True)
class AreaPlan:
    name: str
    hundreds: int
    pairs: int
    singles: int
    duties: tuple[Duty, ...]
    seal: SealPart
    radial: BearingPart = parts.RADIAL
    # Share of positions that have the area's own seal; the rest carry the ordinary.
    seal_share: float = 1.0


AREAS = (
    AreaPlan(
        "Acid plant", 11, 10, 12,
        (
            Duty("acid circulation", "sulphuric acid", "toxic;corrosive", 60, 1830),
            Duty("acid transfer", "weak sulphuric acid", "corrosive", 45, 1700),
            Duty("wash liquor", "dilute acid", "corrosive", 35, 1080),
        ),
        parts.ORDINARY,
    ),
    AreaPlan(
        "Chlorination", 12, 10, 12,
        (
            Duty("reactor feed", "chlorinated solvent", "toxic;corrosive", 40, 1320),
            Duty("caustic wash", "caustic soda 20 %", "corrosive", 50, 1220),
            Duty("column bottoms", "chlorinated residues", "toxic;hot", 140, 1350),
        ),
        parts.ALIGNMENT,
    ),
    AreaPlan(
        "Amines", 13, 10, 12,
        (
            Duty("amine circulation", "lean amine", "toxic;hot", 115, 990),
            Duty("reflux", "aqueous amine", "toxic;flammable", 85, 960),
            Duty("product transfer", "light amine", "toxic;flammable", 30, 740),
        ),
        parts.HOT,
    ),
    AreaPlan(
        "Solvent recovery", 14, 10, 12,
        (
            Duty("column feed", "mixed solvent", "flammable", 60, 820),
            Duty("reflux", "toluene", "flammable;toxic", 100, 800),
            Duty("bottoms", "heavy ends", "flammable;hot", 165, 880),
        ),
        parts.WEARS_OUT,
    ),
    AreaPlan(
        "Effluent and utilities", 15, 10, 12,
        (
            Duty("effluent transfer", "acid effluent", "environment", 25, 1010),
            Duty("condensate return", "condensate", "hot", 90, 970),
            Duty("cooling water", "treated water", "", 25, 1000),
        ),
        parts.ORDINARY,
        parts.RADIAL_WET,
    ),
)  # fmt: skip

# Hours that tanks behind a position last, and what part of its cost a stop costs.
TANKS = {
    "P-1113": ("4", "1"),
    "P-1314": ("8", "0.6"),
    "P-1422": ("6", "0.5"),
    "P-1512": ("0", "0.4"),
    "P-1517": ("24", "0.4"),
}


def tanks_of(tag: str) -> dict[str, str]:
    """Columns of the positions sheet; no chance in it, so the history stays."""
    hours, share = TANKS.get(tag, ("0", "1"))
    return {"buffer_hours": hours, "output_share_lost": share}


def spots_make(rng: np.random.Generator) -> list[Spot]:
    """All positions, about 160 in five areas."""
    spots = []
    for area in AREAS:
        for index in range(area.pairs + area.singles):
            number = area.hundreds * 100 + index + 1
            duty = area.duties[index % len(area.duties)]
            paired = index < area.pairs
            base = spot_figures(rng, paired)
            for letter in "AB" if paired else [""]:
                group = f"P-{number}" if paired else ""
                spots.append(
                    Spot(
                        tag=f"P-{number}{letter}",
                        area=area,
                        duty=duty,
                        spare_group=group,
                        seal=area.seal,
                        radial=area.radial,
                        has_meter=bool(rng.random() < 0.65),
                        meter_base=float(rng.integers(12_000, 40_000)),
                        **base,  # type: ignore[arg-type]
                    )
                )
    return spots


def spot_figures(rng: np.random.Generator, paired: bool) -> dict[str, object]:
    """Duty figures that the two pumps of a pair share."""
    bep = float(rng.choice([25, 40, 60, 90, 140, 200]))
    return {
        "share": 0.5 if paired else float(rng.choice([0.6, 0.8, 0.95])),
        "criticality": str(rng.choice(["high", "medium", "low"], p=[0.3, 0.5, 0.2])),
        "stopped_cost": 0 if paired else int(rng.choice([150, 400, 900])),
        "bep_flow": bep,
        "flow": round(bep * float(rng.uniform(0.8, 1.08)), 1),
        "head": float(rng.integers(18, 95)),
        "speed": int(rng.choice([1450, 2950], p=[0.3, 0.7])),
    }
