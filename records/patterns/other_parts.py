"""A few looks of impeller, casing, shaft and other parts, as common practice."""

from records.choices import Cause, Item, Mechanism
from records.patterns.pattern import PRACTICE, Pattern

M, C = Mechanism, Cause


def _part(
    code: str,
    items: tuple[Item, ...],
    title: str,
    description: str,
    mechanisms: tuple[Mechanism, ...],
    causes: tuple[Cause, ...],
) -> Pattern:
    return Pattern(code, items, title, description, mechanisms, causes, PRACTICE)


WETTED = (Item.IMPELLER, Item.CASING, Item.COVER, Item.WEAR_RING, Item.THROAT_BUSHING)
HYDRAULIC = (
    _part(
        "cavitation pits",
        (Item.IMPELLER, Item.CASING),
        "Cavitation pits",
        "Sponge-like pits, mostly behind the inlet edge of the vanes.",
        (M.M2_1,),
        (C.C3_1, C.C1_1),
    ),
    _part(
        "washed out",
        WETTED,
        "Washed out",
        "Smooth grooves or thinned edges along the flow.",
        (M.M2_3,),
        (C.C3_1, C.C1_2),
    ),
    _part(
        "wetted corrosion",
        WETTED,
        "Corroded",
        "Metal eaten evenly, or in pits and crevices.",
        (M.M2_2,),
        (C.C1_2, C.C3_1),
    ),
    _part(
        "rubbed one side",
        (*WETTED, Item.SLEEVE),
        "Rubbed on one side of the fixed part",
        "Marks at one place of the fixed part, all round the turning one: out of line "
        "or pushed aside.",
        (M.M1_3,),
        (C.C3_1, C.C3_3),
    ),
    _part(
        "rubbed all round",
        (*WETTED, Item.SLEEVE),
        "Rubbed all round the fixed part",
        "Marks all round the fixed part, at one place of the turning one: bent shaft "
        "or unbalance.",
        (M.M1_3, M.M1_4),
        (C.C3_3,),
    ),
    _part(
        "plugged impeller",
        (Item.IMPELLER, Item.PUMP_PIPING),
        "Plugged",
        "Passages blocked by solids, rags or deposit.",
        (M.M5_1,),
        (C.C3_1, C.C3_2),
    ),
)
MECHANICAL = (
    _part(
        "cover not square",
        (Item.COVER, Item.CASING),
        "Face not square to the shaft",
        "The seal-chamber face runs out when swept from the shaft.",
        (M.M1_3, M.M1_4),
        (C.C2_1, C.C3_3),
    ),
    _part(
        "leaking joint",
        (Item.GASKET, Item.CASING, Item.COVER, Item.FLANGE),
        "Joint cut by leakage",
        "Gasket cut or blown, a channel washed across the joint.",
        (M.M1_5, M.M2_3),
        (C.C3_3,),
    ),
    _part(
        "bent shaft",
        (Item.SHAFT,),
        "Shaft bent",
        "Runs out between centres, most at one place.",
        (M.M1_4,),
        (C.C3_3, C.C3_1),
    ),
    _part(
        "shaft fatigue",
        (Item.SHAFT,),
        "Shaft broken by fatigue",
        "Beach marks from a shoulder or keyway, a small rough last part.",
        (M.M2_6,),
        (C.C3_1, C.C1_0),
    ),
    _part(
        "worn seat",
        (Item.SHAFT, Item.BEARING_HOUSING),
        "Bearing seat worn",
        "A bright or fretted seat: the ring turned on it.",
        (M.M1_5, M.M2_4),
        (C.C3_3, C.C3_4),
    ),
    _part(
        "housing seal worn",
        (Item.HOUSING_SEAL,),
        "Housing seal worn",
        "Lip or labyrinth worn: oil out, water and dirt in.",
        (M.M2_4,),
        (C.C3_4,),
    ),
    _part(
        "coupling element torn",
        (Item.COUPLING,),
        "Element torn or cracked",
        "Discs cracked or rubber torn: out of line or overloaded.",
        (M.M2_6, M.M1_3),
        (C.C3_3,),
    ),
    _part(
        "water in oil",
        (Item.OIL, Item.BEARING_HOUSING, Item.OIL_COOLER),
        "Water in the oil",
        "Milky oil, or water under it.",
        (M.M5_2,),
        (C.C3_3, C.C5_4),
    ),
)
OTHER_PARTS = (*HYDRAULIC, *MECHANICAL)
