"""Tags of one site typed in one field, which may hold spaces and commas themselves."""

import re
from collections.abc import Collection, Iterable

BETWEEN = re.compile(r"[,;\s]+")
# What may follow a tag: a separator, or the end of all.
ENDS = re.compile(r"[^\S\n\r]*(?:[,;\n\r]|$)")
PIECE = re.compile(r"[^,;\n\r]+")


def tags_read(typed: str, known: Collection[str]) -> list[str]:
    """Each tag once, in the order typed; what is no tag of the site stays as it is.

    The longest tag of the site that fits is taken first. Only commas, semicolons and
    lines part them, unless every word between two of those is a tag by itself.
    """
    longest = sorted(known, key=len, reverse=True)
    found: list[str] = []
    at = 0
    while at < len(typed):
        if space := BETWEEN.match(typed, at):
            at = space.end()
            continue
        tag = next((one for one in longest if _stands_at(one, typed, at)), None)
        if tag is None:
            piece = PIECE.match(typed, at)
            assert piece is not None
            found += _of_piece(piece[0].strip(), known)
            at = piece.end()
        else:
            found.append(tag)
            at += len(tag)
    return list(dict.fromkeys(found))


def _stands_at(tag: str, typed: str, at: int) -> bool:
    return typed.startswith(tag, at) and bool(ENDS.match(typed, at + len(tag)))


def _of_piece(piece: str, known: Collection[str]) -> list[str]:
    words = piece.split()
    return words if all(word in known for word in words) else [piece]


def tags_written(tags: Iterable[str]) -> str:
    """The same in one line, as `tags_read` takes it back."""
    named = list(tags)
    between = "; " if any("," in tag for tag in named) else ", "
    return between.join(named)
