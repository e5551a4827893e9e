"""What every printed report shares: sheet, fonts, headings, tables, page numbers."""

from collections.abc import Sequence
from html import escape
from io import BytesIO
from typing import Any

from reportlab.lib import colors
from reportlab.lib.enums import TA_LEFT
from reportlab.lib.pagesizes import A4
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Paragraph, SimpleDocTemplate, Table, TableStyle

from analytics.charts.theme import ACCENT, HAIRLINE, INK, SOFT_INK
from plant.tags.fonts import BOLD, PLAIN, fonts_register

MARGIN = 16 * mm
LEFT_PAD, NUMBER_PAD = 2, 8
SMALLEST = 4.5
CAUTION = (
    "This record is not a permit. The site's permit-to-work and isolation procedures "
    "govern."
)
TEXT = ParagraphStyle(
    "text", fontName=PLAIN, fontSize=8.5, leading=11.5, textColor=INK, spaceAfter=3
)
SMALL = ParagraphStyle("small", parent=TEXT, fontSize=7, leading=9, textColor=SOFT_INK)
CELL = ParagraphStyle("cell", parent=TEXT, fontSize=7.5, leading=9.5, spaceAfter=0)
NUMBER = ParagraphStyle("number", parent=CELL, alignment=2)
HEAD_CELL = ParagraphStyle("head", parent=CELL, fontName=BOLD)
HEAD_NUMBER = ParagraphStyle("head number", parent=HEAD_CELL, alignment=2)
HEADING = ParagraphStyle(
    "heading",
    parent=TEXT,
    fontName=BOLD,
    fontSize=11,
    leading=14,
    spaceBefore=9,
    spaceAfter=4,
    alignment=TA_LEFT,
    keepWithNext=1,
)
TITLE = ParagraphStyle("title", parent=HEADING, fontSize=16, leading=20, spaceBefore=0)


def paragraph(text: str, style: ParagraphStyle = TEXT) -> Paragraph:
    """Plain text as a paragraph; marks in it are shown, never obeyed."""
    return Paragraph(escape(text).replace("\n", "<br/>"), style)


def table(
    header: Sequence[str],
    rows: Sequence[Sequence[Any]],
    widths: Sequence[float],
    numeric: Sequence[int] = (),
) -> Table:
    """Rows under a header that comes again on every page; widths in millimetres.

    A cell is plain text, or a drawing that is set as it is.
    """
    lines: list[list[Any]] = [
        [
            paragraph(text, HEAD_NUMBER if place in numeric else HEAD_CELL)
            for place, text in enumerate(header)
        ]
    ]
    dress = [
        _figures(rows, place, width) if place in numeric else CELL
        for place, width in enumerate(widths)
    ]
    lines += [
        [_cell(content, style) for content, style in zip(row, dress, strict=True)]
        for row in rows
    ]
    made = Table(lines, [width * mm for width in widths], repeatRows=1, hAlign="LEFT")
    made.setStyle(
        TableStyle(
            [
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LINEBELOW", (0, 0), (-1, 0), 0.8, colors.HexColor(ACCENT)),
                ("LINEBELOW", (0, 1), (-1, -1), 0.3, colors.HexColor(HAIRLINE)),
                ("LEFTPADDING", (0, 0), (-1, -1), LEFT_PAD),
                ("RIGHTPADDING", (0, 0), (-1, -1), 3),
                *[("RIGHTPADDING", (n, 0), (n, -1), NUMBER_PAD) for n in numeric],
                ("TOPPADDING", (0, 0), (-1, -1), 2),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
            ]
        )
    )
    return made


def _cell(content: Any, style: ParagraphStyle) -> Any:
    return paragraph(content, style) if isinstance(content, str) else content


def _figures(rows: Sequence[Sequence[Any]], place: int, width: float) -> ParagraphStyle:
    """Of a column of figures: set smaller where the longest would break inside."""
    words = [w for row in rows for w in str(row[place]).split(" ")]
    font, size = NUMBER.fontName, NUMBER.fontSize
    longest = max((stringWidth(word, font, size) for word in words), default=0)
    room = width * mm - LEFT_PAD - NUMBER_PAD
    if longest <= room:
        return NUMBER
    # A hair below the room, so that rounding does not break it after all.
    fitting = max(size * room / longest * 0.98, SMALLEST)
    return ParagraphStyle("smaller number", parent=NUMBER, fontSize=fitting)


def pdf_of(story: list[Any], *, title: str, footer: str) -> bytes:
    """The sheets as a file, each with footer, caution and "page n of m"."""
    content, _ = document_of(story, title=title, footer=footer)
    return content


def document_of(story: list[Any], *, title: str, footer: str) -> tuple[bytes, int]:
    """The same file, and how many sheets it has."""
    fonts_register()
    out = BytesIO()
    document = SimpleDocTemplate(
        out,
        pagesize=A4,
        leftMargin=MARGIN,
        rightMargin=MARGIN,
        topMargin=MARGIN,
        bottomMargin=MARGIN + 8 * mm,
        title=title,
        author="Pump Fleet Logbook",
    )

    class Numbered(_NumberedCanvas):
        words = footer

    document.build(story, canvasmaker=Numbered)
    return out.getvalue(), document.page


class _NumberedCanvas(Canvas):  # type: ignore[misc]
    """Keeps the pages back until their number is known."""

    words = ""

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self._kept: list[dict[str, Any]] = []

    def showPage(self) -> None:
        self._kept.append(dict(self.__dict__))
        self._startPage()

    def save(self) -> None:
        for number, page in enumerate(self._kept, start=1):
            self.__dict__.update(page)
            self._foot(number, len(self._kept))
            super().showPage()
        super().save()

    def _foot(self, number: int, pages: int) -> None:
        width, _ = A4
        self.setFont(PLAIN, 7)
        self.setFillColor(colors.HexColor(SOFT_INK))
        self.drawString(MARGIN, 12 * mm, self.words)
        self.drawString(MARGIN, 8.5 * mm, CAUTION)
        self.drawRightString(width - MARGIN, 12 * mm, f"Page {number} of {pages}")
