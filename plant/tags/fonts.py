"""The two faces of the tags, embedded so that every printer shows the same."""

from functools import cache
from importlib.util import find_spec
from pathlib import Path

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from plant.tags.layout import Measure

PLAIN = "Tag"
BOLD = "Tag-Bold"
# The wide family also has Greek, Cyrillic and every Latin letter; it comes with the
# plotting library, which is looked up but never loaded. Reportlab's own is narrower.
_WIDE = {PLAIN: "DejaVuSans.ttf", BOLD: "DejaVuSans-Bold.ttf"}
_OWN = {PLAIN: "Vera.ttf", BOLD: "VeraBd.ttf"}


@cache
def fonts_register() -> None:
    for name in (PLAIN, BOLD):
        pdfmetrics.registerFont(TTFont(name, _file_of(name)))


def width_in(font: str) -> Measure:
    """A measure for layout.py: points in, points out."""

    def measure(text: str, size: float) -> float:
        return float(pdfmetrics.stringWidth(text, font, size))

    return measure


def _file_of(name: str) -> str:
    found = find_spec("matplotlib")
    for folder in (found.submodule_search_locations or []) if found else []:
        file = Path(folder) / "mpl-data" / "fonts" / "ttf" / _WIDE[name]
        if file.is_file():
            return str(file)
    return _OWN[name]
