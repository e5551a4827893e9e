"""Nineteen looks of a mechanical seal that was taken out."""

from records.choices import Cause, Item, Mechanism
from records.patterns.pattern import SEAL_NOTES, Pattern

M, C = Mechanism, Cause


def _seal(
    code: str,
    title: str,
    description: str,
    mechanisms: tuple[Mechanism, ...],
    causes: tuple[Cause, ...],
    *,
    items: tuple[Item, ...] = (),
) -> Pattern:
    """A pattern of the seal, and of `items` that carry the same mark."""
    return Pattern(
        code, (Item.SEAL, *items), title, description, mechanisms, causes, SEAL_NOTES
    )


FACES = (
    _seal(
        "heat checks",
        "Heat checks",
        "Fine cracks like spokes on the hard face: it ran too hot, the film was lost.",
        (M.M2_7,),
        (C.C3_1,),
    ),
    _seal(
        "dry running",
        "Ran dry",
        "Carbon worn deep, O-rings burnt or hard, faces discoloured.",
        (M.M2_7,),
        (C.C3_2, C.C3_1),
    ),
    _seal(
        "blisters",
        "Blisters in the carbon",
        "Raised spots or small craters in the carbon face.",
        (M.M2_4, M.M1_4),
        (C.C3_1, C.C1_2),
    ),
    _seal(
        "chipped edges",
        "Chipped edges",
        "Pieces broken from the inner or outer edge of a face.",
        (M.M2_5,),
        (C.C3_1, C.C3_3),
    ),
    _seal(
        "deep even track",
        "Deep, even track",
        "The wear track is deep and the same all round.",
        (M.M2_4, M.M2_3),
        (C.C3_4, C.C3_1),
    ),
    _seal(
        "wide track",
        "Track wider than the nose",
        "A smeared path wider than the narrow face: the shaft moved sideways.",
        (M.M1_3,),
        (C.C3_3, C.C5_4),
    ),
    _seal(
        "uneven track",
        "Narrow track or two high spots",
        "The faces touched in parts only: bent by bolting, or not square.",
        (M.M1_4,),
        (C.C3_3,),
    ),
    _seal(
        "edge contact",
        "Contact at one edge",
        "Only the inner or the outer edge ran: the face coned under pressure or heat.",
        (M.M1_4,),
        (C.C1_1, C.C3_1),
    ),
    _seal(
        "clean faces",
        "Faces clean, hardly worn",
        "Nothing to see that explains the leak: look at setting and secondary seals.",
        (M.M6_1,),
        (C.C3_3,),
    ),
)
DEPOSITS = (
    _seal(
        "coke",
        "Coke on the air side",
        "Hard black crust on the side away from the liquid.",
        (M.M5_1, M.M1_6),
        (C.C3_1,),
    ),
    _seal(
        "hang-up",
        "Crystals, hung up",
        "The sliding part is stuck and no longer follows the wear.",
        (M.M1_6,),
        (C.C3_1,),
        items=(Item.SLEEVE,),
    ),
)
RINGS = (
    _seal(
        "swollen ring",
        "O-ring swollen or soft",
        "The ring is oversize, soft or sticky: the liquid attacked it.",
        (M.M2_0,),
        (C.C1_2,),
    ),
    _seal(
        "hard ring",
        "O-ring hard, cracked or flat",
        "The ring has lost its spring: heat or age.",
        (M.M2_7,),
        (C.C3_1, C.C3_4),
    ),
    _seal(
        "nibbled ring",
        "O-ring extruded or nibbled",
        "A lip is shaved off on the side of low pressure.",
        (M.M1_4,),
        (C.C3_1, C.C1_2),
    ),
    _seal(
        "sleeve fretted",
        "Fretted under the sliding ring",
        "A polished band or groove where the dynamic ring sits.",
        (M.M2_4,),
        (C.C3_3, C.C5_4),
        items=(Item.SLEEVE, Item.SHAFT),
    ),
)
METAL = (
    _seal(
        "drive worn",
        "Drive pins or slots worn",
        "Notched slots, worn pins: the faces stuck and slipped.",
        (M.M2_4,),
        (C.C3_1, C.C3_3),
    ),
    _seal(
        "springs",
        "Springs packed or broken",
        "Springs full of solids, or cracked by chlorides.",
        (M.M1_6, M.M2_5),
        (C.C3_1, C.C1_2),
    ),
    _seal(
        "bellows crack",
        "Bellows cracked",
        "A crack at a weld or root of the bellows.",
        (M.M2_6,),
        (C.C3_1, C.C1_2),
    ),
    _seal(
        "seal corroded",
        "Corroded",
        "Pits in the metal, or binder leached out of the hard face.",
        (M.M2_2,),
        (C.C1_2,),
    ),
)
SEALS = (*FACES, *DEPOSITS, *RINGS, *METAL)
