"""Draws tags on A4 sheets as PDF: outlines, words and QR code, no image files."""

from collections.abc import Sequence
from io import BytesIO

import segno
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from plant.tags.codes import TagKind
from plant.tags.fonts import BOLD, PLAIN, fonts_register, width_in
from plant.tags.labels import Label
from plant.tags.layout import LEADING, PAGE_HEIGHT, PAGE_WIDTH, Box, Sheet, fitted

# Blank modules around a QR code, ISO/IEC 18004 (from memory).
QUIET_ZONE = 4
# Points; smaller print is not read with a glove on.
SMALLEST = 5.0
BAND_SHARE = 0.16
CUT_SHARE = 0.12
WORDS = {
    TagKind.POSITION: ("POSITION", "stays with the place"),
    TagKind.PUMP: ("PUMP", "goes with the machine"),
}


def sheets_pdf(labels: Sequence[Label], sheet: Sheet) -> bytes:
    """One page for every `sheet.per_page` tags, in the order given."""
    fonts_register()
    out = BytesIO()
    size = (PAGE_WIDTH * mm, PAGE_HEIGHT * mm)
    canvas = Canvas(out, pagesize=size, pageCompression=1, invariant=1)
    canvas.setTitle("Tags with QR codes")
    for index, label in enumerate(labels):
        if index and index % sheet.per_page == 0:
            canvas.showPage()
        left, low = sheet.corner(index)
        canvas.saveState()
        canvas.translate(left * mm, low * mm)
        _Drawing(canvas, label, sheet.width * mm, sheet.height * mm).draw()
        canvas.restoreState()
    canvas.save()
    return out.getvalue()


def qr_modules(address: str) -> tuple[bytearray, ...]:
    """Rows of dark (1) and light (0) modules; a quarter may be dirty or torn (Q)."""
    return tuple(segno.make(address, error="q", boost_error=False, micro=False).matrix)


class _Drawing:
    """One tag in a box of `width` times `height` points, from its lower left corner."""

    def __init__(
        self, canvas: Canvas, label: Label, width: float, height: float
    ) -> None:
        self.canvas, self.label = canvas, label
        self.width, self.height = width, height
        self.band = height * BAND_SHARE
        self.body = height - self.band
        self.pad = height * 0.05
        self.side = min(self.body, width * 0.45)

    def draw(self) -> None:
        self._outline()
        self._band()
        self._code()
        self._words()

    def _outline(self) -> None:
        """A position has square corners, a pump cut ones."""
        cut = self.height * CUT_SHARE if self.label.kind is TagKind.PUMP else 0.0
        right, top = self.width, self.height
        corners = [(cut, 0.0), (right - cut, 0.0), (right, cut), (right, top - cut)]
        corners += [(right - cut, top), (cut, top), (0.0, top - cut), (0.0, cut)]
        path = self.canvas.beginPath()
        path.moveTo(*corners[0])
        for corner in corners[1:]:
            path.lineTo(*corner)
        path.close()
        self.canvas.setLineWidth(1.0)
        self.canvas.drawPath(path, stroke=1, fill=0)

    def _band(self) -> None:
        """White on black with a square for a position, black on white with a ring."""
        is_pump = self.label.kind is TagKind.PUMP
        word, meaning = WORDS[self.label.kind]
        if not is_pump:
            self.canvas.rect(0, self.body, self.width, self.band, stroke=0, fill=1)
        self.canvas.setFillGray(0.0 if is_pump else 1.0)
        self.canvas.setStrokeGray(0.0 if is_pump else 1.0)
        middle, mark = self.body + self.band / 2, self.band * 0.26
        left = self.pad + (self.height * CUT_SHARE * 0.4 if is_pump else 0)
        self.canvas.setLineWidth(mark * 0.5)
        if is_pump:
            self.canvas.circle(left + mark, middle, mark, stroke=1, fill=0)
        else:
            self.canvas.rect(left, middle - mark, 2 * mark, 2 * mark, stroke=0, fill=1)
        start = left + 3.2 * mark
        size = self.band * 0.62
        self.canvas.setFont(BOLD, size)
        self.canvas.drawString(start, middle - size * 0.36, word)
        start += width_in(BOLD)(word, size) + 2 * self.pad
        room = self.width - start - self.pad - self.height * CUT_SHARE * 0.4
        box = Box(start, middle + size * 0.44, room, size * 0.8)
        self._write(meaning, PLAIN, box)
        self.canvas.setFillGray(0.0)
        self.canvas.setStrokeGray(0.0)
        self.canvas.setLineWidth(0.5)
        self.canvas.line(0, self.body, self.width, self.body)

    def _code(self) -> None:
        rows = qr_modules(self.label.address)
        module = self.side / (len(rows) + 2 * QUIET_ZONE)
        left = QUIET_ZONE * module
        top = (self.body + self.side) / 2 - left
        for down, row in enumerate(rows):
            for start, length in _runs(row):
                self.canvas.rect(
                    left + start * module,
                    top - (down + 1) * module,
                    length * module,
                    module,
                    stroke=0,
                    fill=1,
                )

    def _words(self) -> None:
        """Right of the code: name with letter, what it is, where, the typed code."""
        letter = self._letter_box() if self.label.letter else 0.0
        self._write(self.label.name, BOLD, self._box(0.05, 0.26, letter))
        share = 0.25 / max(len(self.label.lines), 1)
        for down, line in enumerate(self.label.lines):
            self._write(line, PLAIN, self._box(0.35 + down * share, share * 0.94))
        self._write(self.label.place, PLAIN, self._box(0.62, 0.15))
        self._write(self.label.code, BOLD, self._box(0.79, 0.16))

    def _box(self, down: float, height: float, taken: float = 0.0) -> Box:
        """A box right of the code: shares of the body's height from its top."""
        width = self.width - self.side - self.pad - taken
        return Box(self.side, self.body * (1 - down), width, self.body * height)

    def _letter_box(self) -> float:
        """The A or B of spares in a box of its own; returns the width it takes."""
        side = self.body * 0.27
        left, low = self.width - self.pad - side, self.body - self.pad - side
        self.canvas.setLineWidth(1.2)
        self.canvas.rect(left, low, side, side, stroke=1, fill=0)
        self.canvas.setFont(BOLD, side * 0.85)
        self.canvas.drawCentredString(
            left + side / 2, low + side * 0.19, self.label.letter
        )
        return side + self.pad

    def _write(self, text: str, font: str, box: Box) -> None:
        words = fitted(text, width_in(font), box, smallest=SMALLEST)
        self.canvas.setFont(font, words.size)
        top = box.top
        for line in words.lines:
            top -= words.size * LEADING
            self.canvas.drawString(box.left, top + words.size * 0.28, line)


def _runs(row: bytearray) -> list[tuple[int, int]]:
    """Start and length of each run of dark modules."""
    runs: list[tuple[int, int]] = []
    for place, dark in enumerate(row):
        if not dark:
            continue
        if runs and sum(runs[-1]) == place:
            runs[-1] = (runs[-1][0], runs[-1][1] + 1)
        else:
            runs.append((place, 1))
    return runs
