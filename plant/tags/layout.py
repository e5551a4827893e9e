"""Where tags stand on A4 and how their words fit; knows neither Django nor PDF."""

from collections.abc import Callable
from dataclasses import dataclass

PAGE_WIDTH = 210.0
PAGE_HEIGHT = 297.0
# Printers leave about 5 mm of the edge blank.
MARGIN = 8.0
GAP = 2.0

LEADING = 1.15
BREAK_BELOW = 0.5

# Width of a text in the unit that the size is given in.
Measure = Callable[[str, float], float]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A grid of tags on one page; lengths in millimetres."""

    key: str
    name: str
    columns: int
    rows: int

    @property
    def words(self) -> str:
        size = f"{self.width:.0f} × {self.height:.0f} mm"
        return f"{self.name}: {self.per_page} a page, {size}"

    @property
    def per_page(self) -> int:
        return self.columns * self.rows

    @property
    def width(self) -> float:
        return (PAGE_WIDTH - 2 * MARGIN - GAP * (self.columns - 1)) / self.columns

    @property
    def height(self) -> float:
        return (PAGE_HEIGHT - 2 * MARGIN - GAP * (self.rows - 1)) / self.rows

    def corner(self, index: int) -> tuple[float, float]:
        """Lower left corner of the tag `index`, from that of its page."""
        row, column = divmod(index % self.per_page, self.columns)
        left = MARGIN + column * (self.width + GAP)
        return left, PAGE_HEIGHT - MARGIN - (row + 1) * self.height - row * GAP


SHEETS = {
    sheet.key: sheet
    for sheet in (
        Sheet("small", "Small", 3, 8),
        Sheet("medium", "Medium", 2, 5),
        Sheet("large", "Large", 1, 4),
    )
}


@dataclass(frozen=True, slots=True)
class Box:
    """Room for one text, from its upper left corner."""

    left: float
    top: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Fitted:
    """Lines of text and the size at which all of them fit their box."""

    lines: tuple[str, ...]
    size: float


def fitted(text: str, measure: Measure, box: Box, *, smallest: float) -> Fitted:
    """The largest size at which `text`, wrapped, fits the box.

    Words stay whole as long as the size is above half of the largest; below it a long
    tag breaks rather than shrink on. At the smallest size what is over is cut (…).
    """
    largest = box.height / LEADING
    size = largest
    while size > smallest:
        lines = _wrapped(text, measure, box.width, size, size < largest * BREAK_BELOW)
        if _fits(lines, measure, box, size):
            return Fitted(tuple(lines), size)
        size -= largest / 40
    size = min(smallest, largest)
    lines = _wrapped(text, measure, box.width, size, breaks=True)
    most = max(1, int(box.height / (LEADING * size) + 1e-9))
    if len(lines) > most:
        lines = [*lines[: most - 1], _cut(lines[most - 1], measure, box.width, size)]
    return Fitted(tuple(lines), size)


def _fits(lines: list[str], measure: Measure, box: Box, size: float) -> bool:
    widest = max((measure(line, size) for line in lines), default=0.0)
    return widest <= box.width and len(lines) * size * LEADING <= box.height + 1e-9


def _wrapped(
    text: str, measure: Measure, width: float, size: float, breaks: bool
) -> list[str]:
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and measure(longer, size) <= width:
            lines[-1] = longer
        elif breaks:
            lines += _pieces(word, measure, width, size)
        else:
            lines.append(word)
    return lines


def _pieces(word: str, measure: Measure, width: float, size: float) -> list[str]:
    pieces = [""]
    for letter in word:
        if pieces[-1] and measure(pieces[-1] + letter, size) > width:
            pieces.append("")
        pieces[-1] += letter
    return pieces


def _cut(line: str, measure: Measure, width: float, size: float) -> str:
    while line and measure(f"{line}…", size) > width:
        line = line[:-1]
    return f"{line.rstrip()}…"
