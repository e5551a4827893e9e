"""What is truly so in the demo plant, by tag and serial number.

DEVELOPERS.md lists these for the reader; tests hold the pages to them.
"""

from dataclasses import dataclass, replace

from records.demo import parts
from records.demo.state import Spot

BAD_ACTORS = ("P-1117", "P-1416")
FLUSH_CHANGED = ("P-1111", "P-1112", "P-1113", "P-1114", "P-1115")
COLD_STARTS = "P-1503B"
COLD_START_PARTNER = "P-1503A"
TRAVEL_TAGS = ("P-1316", "P-1317", "P-1318", "P-1319")
TRAVELLER = "HW-0613"
PLAN_CHANGE_AREA = "Amines"

# Shares of the six years at which something changed.
PLAN_CHANGED = 0.5
DUAL_FITTED = 0.5
FLUSH_CHANGED_AT = 0.55
TRAVELLER_FROM = 0.35


@dataclass(slots=True)
class Found:
    """What only the run of the generator could tell."""

    dual_tags: tuple[str, ...] = ()
    unlucky_tag: str = ""
    unlucky_repairs: int = 0


def special_tags() -> set[str]:
    """Tags that are not ordinary: neither lucky, unlucky nor worth a trial."""
    return {
        *BAD_ACTORS,
        *FLUSH_CHANGED,
        COLD_STARTS,
        COLD_START_PARTNER,
        *TRAVEL_TAGS,
    }


def truths_apply(spots: list[Spot]) -> None:
    """Make the special positions what they are."""
    by_tag = {spot.tag: spot for spot in spots}
    for tag in BAD_ACTORS:
        spot = by_tag[tag]
        spot.seal = replace(
            parts.ORDINARY,
            life=parts.Life(2.2, 13_000),
            mechanism="1.2",
            cause="3.1",
            finding="Chipped faces, sleeve fretted; the shaft had been whipping.",
        )
        spot.share, spot.life_factor = 0.9, 0.11
        spot.flow = round(spot.bep_flow * 0.42, 1)
    for tag in FLUSH_CHANGED:
        spot = by_tag[tag]
        dead_ended = replace(
            parts.ORDINARY,
            plan="02",
            life=parts.Life(1.2, 6_000),
            mechanism="2.7",
            cause="3.1",
            finding="Burnt O-ring, crystals behind the faces.",
        )
        spot.seal, spot.share = dead_ended, 0.8
    for tag in TRAVEL_TAGS:
        spot = by_tag[tag]
        spot.share, spot.bep_flow, spot.flow, spot.speed = 0.8, 60.0, 55.0, 2950
    by_tag[COLD_STARTS].share = 0.02
    by_tag[COLD_STARTS].has_meter = True
    by_tag[COLD_START_PARTNER].share = 0.95
