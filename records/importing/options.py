"""How the files of an import are to be read."""

from dataclasses import dataclass

from django.core.exceptions import ValidationError

SEPARATORS = {
    "auto": "Find out from the heading",
    ",": "Comma",
    ";": "Semicolon",
}
DECIMALS = {
    "auto": "Find out from the numbers",
    ".": "Point, as in 12.5",
    ",": "Comma, as in 12,5",
}
DATE_ORDERS = {
    "iso": "Year-month-day, as in 2025-03-07",
    "dmy": "Day-month-year, as in 7.3.2025",
    "mdy": "Month/day/year, as in 3/7/2025",
}
ENCODINGS = {
    "utf-8": "UTF-8, with or without a byte-order mark",
    "cp1252": "Windows western (cp1252)",
    "utf-16": "UTF-16, what a spreadsheet calls Unicode text",
}


@dataclass(frozen=True, slots=True)
class ReadOptions:
    separator: str = "auto"
    decimal: str = "auto"
    date_order: str = "iso"
    encoding: str = "utf-8"

    def __post_init__(self) -> None:
        for value, allowed, what in (
            (self.separator, SEPARATORS, "separator"),
            (self.decimal, DECIMALS, "decimal sign"),
            (self.date_order, DATE_ORDERS, "date order"),
        ):
            if value not in allowed:
                words = " or ".join(allowed)
                raise ValidationError(f"No such {what}: {value!r}. Choose {words}")
        if not is_text_encoding(self.encoding):
            raise ValidationError(
                f"No such encoding: {self.encoding!r}. Try utf-8, cp1252 or utf-16."
            )


def is_text_encoding(name: str) -> bool:
    """Whether Python can turn bytes of this encoding into text."""
    try:
        b"AA".decode(name)
    except UnicodeError:
        return True
    except LookupError:
        # Also for codecs such as base64, which are known but give no text.
        return False
    return True
