"""Looks of a rolling bearing, by the modes of ISO 15243."""

from records.choices import Cause, Item, Mechanism
from records.patterns.pattern import ISO_15243, Pattern

M, C = Mechanism, Cause


def _bearing(
    code: str,
    title: str,
    description: str,
    mechanism: Mechanism,
    causes: tuple[Cause, ...],
) -> Pattern:
    items = (Item.RADIAL_BEARING, Item.THRUST_BEARING)
    return Pattern(code, items, title, description, (mechanism,), causes, ISO_15243)


FATIGUE_AND_WEAR = (
    _bearing(
        "spalled below",
        "Fatigue from below the surface",
        "Spalls with deep, clear edges in the loaded zone.",
        M.M2_6,
        (C.C3_4, C.C3_1),
    ),
    _bearing(
        "spalled from surface",
        "Fatigue from the surface",
        "Frosted or finely pitted track: the film was thin or dirty.",
        M.M2_6,
        (C.C3_3, C.C3_1),
    ),
    _bearing(
        "abrasive wear",
        "Abrasive wear",
        "Dull grey tracks, looser than new: dirt in the oil.",
        M.M2_4,
        (C.C3_3, C.C3_1),
    ),
    _bearing(
        "smeared",
        "Adhesive wear, smeared",
        "Metal torn and carried over: the balls or rollers skidded.",
        M.M2_4,
        (C.C3_1, C.C3_3),
    ),
)
CORROSION = (
    _bearing(
        "bearing rust",
        "Moisture corrosion",
        "Rust, or dark pits at the spacing of the balls: water got in.",
        M.M2_2,
        (C.C3_3, C.C3_1),
    ),
    _bearing(
        "fretted fit",
        "Fretting corrosion",
        "Red-brown dust on the bore or outside: the fit is loose.",
        M.M2_2,
        (C.C3_3, C.C2_1),
    ),
    _bearing(
        "false brinelling",
        "False brinelling",
        "Shiny dents at ball spacing: shaken while it stood still.",
        M.M2_4,
        (C.C3_1, C.C5_4),
    ),
)
ELECTRICAL = (
    _bearing(
        "current craters",
        "Craters of a strong current",
        "Molten craters in track and balls, as from welding.",
        M.M4_5,
        (C.C3_3,),
    ),
    _bearing(
        "current flutes",
        "Flutes of a leaking current",
        "A washboard across the track: current from the drive.",
        M.M4_5,
        (C.C1_0, C.C2_2),
    ),
)
DENTS_AND_CRACKS = (
    _bearing(
        "overload dents",
        "Overload dents",
        "Dents at ball spacing: hammered on, dropped or overloaded at rest.",
        M.M1_4,
        (C.C3_3,),
    ),
    _bearing(
        "debris dents",
        "Dents from debris",
        "Many small dents: hard particles were rolled over.",
        M.M5_2,
        (C.C3_3,),
    ),
    _bearing(
        "forced fracture",
        "Forced fracture",
        "One clean break, from a fit too tight or a blow.",
        M.M2_5,
        (C.C3_3,),
    ),
    _bearing(
        "bearing fatigue fracture",
        "Fatigue fracture",
        "A break with beach marks, often in a ring badly supported.",
        M.M2_6,
        (C.C3_3, C.C2_1),
    ),
    _bearing(
        "thermal cracks",
        "Thermal cracks",
        "Fine cracks across a face that rubbed.",
        M.M2_7,
        (C.C3_3, C.C5_4),
    ),
)
BEARINGS = (*FATIGUE_AND_WEAR, *CORROSION, *ELECTRICAL, *DENTS_AND_CRACKS)
