"""The short code on a tag: which kind, which row, and a letter against slips.

The code is no secret and opens nothing by itself: whoever follows it needs a log-in
that sees the site.
"""

import re
from dataclasses import dataclass
from enum import StrEnum

# Thirteen, a prime, so that one wrong digit or two swapped ones never fit. No letter
# looks like a digit, and none is a usual letter of spare pumps (A to D).
CHECK_LETTERS = "HJKLMNPRTVWXY"
_CODE = re.compile(r"([TP])[\s/-]*([1-9][0-9]{0,11})[\s-]*([A-Z])", re.ASCII)
# A code is much shorter; what is longer is not even looked at.
LONGEST = 80


class TagKind(StrEnum):
    """What a tag names; the letter stands in the code and in the address."""

    POSITION = "T"
    PUMP = "P"


@dataclass(frozen=True, slots=True)
class TagCode:
    kind: TagKind
    pk: int

    @property
    def ending(self) -> str:
        """Digits and check letter, as in the address."""
        return f"{self.pk}{_check_letter(self.kind, self.pk)}"

    def __str__(self) -> str:
        """As printed and typed: T 117K."""
        return f"{self.kind} {self.ending}"


def code_read(text: str) -> TagCode | None:
    """The code in what was typed, however spaced; None when it is none or mistyped."""
    match = _CODE.fullmatch(text[:LONGEST].strip().strip("/").upper())
    if match is None:
        return None
    code = TagCode(TagKind(match[1]), int(match[2]))
    return code if match[3] == code.ending[-1] else None


def _check_letter(kind: TagKind, pk: int) -> str:
    """Weights are powers of 2, all different modulo 13 over twelve digits."""
    digits = [int(digit) for digit in reversed(str(pk))]
    total = sum(digit * pow(2, place, 13) for place, digit in enumerate(digits))
    # The kind shifts the letter: the code of a position is never that of a pump.
    shift = list(TagKind).index(kind)
    return CHECK_LETTERS[(total + shift) % 13]
