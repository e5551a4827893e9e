"""Numbers as people write them: with a decimal comma, with thousands set apart."""

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

WRITE_IT_AS = "Write it as 1234.50."
# Blanks and apostrophes only ever set thousands apart.
BLANKS = "\u0020\u00a0\u2009\u202f'\u2019"
DIGITS_AND_MARKS = re.compile(rf"^[+-]?\d[\d.,{BLANKS}]*$")
GROUPS = re.compile(r"^[+-]?\d{1,3}(\D\d{3})+$")
TWO_READINGS = re.compile(r"^[+-]?[1-9]\d{0,2}[.,]\d{3}$")


def plain_number(text: str) -> str:
    """The number with a decimal point and nothing else, such as 1234.50.

    What is no number at all comes back as it is, for the field to refuse.

    Raises
    ------
    ValidationError
        When the marks allow two readings (1,234) or none (1.2.3).
    """
    text = text.strip().replace("\u2212", "-")
    if not DIGITS_AND_MARKS.match(text):
        return text
    if TWO_READINGS.match(text):
        whole = re.sub("[.,]", "", text)
        raise ValidationError(
            f"{text} may mean {whole} or {text.replace(',', '.')}0. {WRITE_IT_AS}",
            code="two_readings",
        )
    whole, decimals = _parted(text)
    if not (whole.lstrip("+-").isdecimal() or _is_grouped(whole)):
        raise ValidationError(WRITE_IT_AS, code="wrong_marks")
    digits = re.sub(r"[^\d+-]", "", whole)
    return f"{digits}.{decimals}" if decimals else digits


def _parted(text: str) -> tuple[str, str]:
    """Before and after the decimal mark: the last mark, if it stands only once."""
    last = max(text.rfind("."), text.rfind(","))
    if last < 0 or text.count(text[last]) > 1:
        return text, ""
    decimals = text[last + 1 :]
    return (text[:last], decimals) if decimals.isdecimal() else (text, "")


def _is_grouped(whole: str) -> bool:
    """Thousands set apart by one and the same mark, three digits each."""
    marks = set(re.sub(r"[\d+-]", "", whole))
    return len(marks) == 1 and bool(GROUPS.match(whole))


class _TypedNumber:
    """Reads what `plain_number` reads, and shows values so that it reads them back."""

    def to_python(self, value: Any) -> Any:
        plain = plain_number(value) if isinstance(value, str) else value
        return super().to_python(plain)  # type: ignore[misc]

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, float) and value.is_integer():
            return int(value)
        shown = str(value) if value is not None else ""
        is_typed = isinstance(value, str)
        return f"{shown}0" if not is_typed and TWO_READINGS.match(shown) else value


def _typed_widget() -> forms.TextInput:
    # A number input would drop a comma, and with it what was typed.
    return forms.TextInput(attrs={"inputmode": "decimal"})


class TypedFloatField(_TypedNumber, forms.FloatField):
    """A measured value, blank when it is not known."""

    def __init__(self, **options: Any) -> None:
        super().__init__(widget=_typed_widget(), **options)


class TypedDecimalField(_TypedNumber, forms.DecimalField):
    """An exact amount."""

    def __init__(self, **options: Any) -> None:
        super().__init__(widget=_typed_widget(), **options)
