"""Seals and bearings of the demo, with the life that each truly has.

Shapes and scales are the truths that a reader of the demo can look for; they are
inputs of the generator, listed in DEVELOPERS.md, and claims about no real part.
"""

from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class Life:
    """Weibull life in running hours."""

    shape: float
    scale: float

    def times(self, factor: float) -> "Life":
        return replace(self, scale=self.scale * factor)


@dataclass(frozen=True, slots=True)
class SealPart:
    part_number: str
    arrangement: int
    kind: str
    faces: str
    secondary_seal: str
    plan: str
    life: Life
    price: int
    mechanism: str
    cause: str
    finding: str


@dataclass(frozen=True, slots=True)
class BearingPart:
    designation: str
    rating_kn: float
    load_kn: float
    lubrication: str
    life: Life
    price: int
    mechanism: str
    cause: str
    finding: str


ORDINARY = SealPart(
    "S-4102", 1, "pusher", "carbon / silicon carbide", "FKM", "11",
    Life(1.2, 27_000), 1_900, "2.4", "3.4", "Wide, even wear track on the carbon.",
)  # fmt: skip
WEARS_OUT = SealPart(
    "S-4101", 1, "pusher", "carbon / tungsten carbide", "FFKM", "11",
    Life(3.4, 19_000), 2_400, "2.4", "3.4", "Carbon nose worn down to the holder.",
)  # fmt: skip
HOT = SealPart(
    "S-4103", 1, "bellows", "carbon / silicon carbide", "FFKM", "11",
    Life(1.5, 9_000), 3_600, "2.7", "3.1", "Fine radial cracks on the hard face.",
)  # fmt: skip
DUAL = SealPart(
    "S-4200", 3, "pusher", "silicon carbide / silicon carbide", "FFKM", "53A",
    Life(1.2, 27_000), 9_800, "2.4", "3.4", "Inner faces worn, barrier liquid dark.",
)  # fmt: skip
ALIGNMENT = SealPart(
    "S-4102", 1, "pusher", "carbon / silicon carbide", "FKM", "11",
    Life(0.62, 15_000), 1_900, "1.3", "3.3", "Track wider than the nose.",
)  # fmt: skip

RADIAL = BearingPart(
    "6309", 52.7, 2.9, "oil sump", Life(1.4, 60_000), 140, "2.4", "3.4",
    "Dull grey tracks, oil dark.",
)  # fmt: skip
RADIAL_WET = BearingPart(
    "6311", 71.0, 3.6, "oil sump", Life(1.7, 11_000), 190, "2.2", "3.1",
    "Rust at ball spacing, oil milky with water.",
)  # fmt: skip
THRUST = BearingPart(
    "7309 B pair", 91.0, 7.6, "oil sump", Life(1.5, 55_000), 420, "2.6", "3.4",
    "Spalled inner ring on the loaded side.",
)  # fmt: skip
