"""Rates and price levels as an administrator types them: a line a year."""

from decimal import Decimal, InvalidOperation

from django import forms
from django.core.exceptions import ValidationError

from records.models.money_table import FIRST_YEAR, LAST_YEAR

MOST_LINES = 200
A_LINE = "Write a year and a number, such as 2024 1.0821."
LINES = forms.Textarea(attrs={"rows": 8, "inputmode": "text"})
CODE = {"maxlength": 3, "autocapitalize": "characters", "size": 4}


class YearlyFigures(forms.CharField):
    """Lines of a year and a figure, read into a figure by year."""

    widget = LINES

    def clean(self, value: str) -> dict[int, Decimal]:
        """Refuse what no line can mean, and a year that comes twice."""
        text = super().clean(value)
        lines = [line.strip() for line in text.splitlines() if line.strip()]
        if len(lines) > MOST_LINES:
            raise ValidationError(f"Send at most {MOST_LINES} lines at a time.")
        figures: dict[int, Decimal] = {}
        for place, line in enumerate(lines, start=1):
            try:
                year, figure = _line_read(line)
                if year in figures:
                    raise ValidationError(f"{year} stands twice.")
            except ValidationError as error:
                raise ValidationError(
                    f"Line {place}, {line[:40]}: {error.message}"
                ) from None
            figures[year] = figure
        return figures


def _line_read(line: str) -> tuple[int, Decimal]:
    """A figure has one mark, a point or a comma; no marks set thousands apart."""
    parts = line.replace(";", " ").replace("\t", " ").split()
    if len(parts) != 2 or not (parts[0].isascii() and parts[0].isdecimal()):
        raise ValidationError(A_LINE)
    year = int(parts[0][:5])
    if not FIRST_YEAR <= year <= LAST_YEAR:
        raise ValidationError(f"Give a year from {FIRST_YEAR} to {LAST_YEAR}.")
    try:
        figure = Decimal(parts[1].replace(",", "."))
    except InvalidOperation:
        raise ValidationError(A_LINE) from None
    if not figure.is_finite() or figure <= 0:
        raise ValidationError("Give a number above zero.")
    return year, figure


class CurrencyField(forms.CharField):
    """Three letters of ISO 4217, in any case; or none where none is asked for."""

    widget = forms.TextInput(attrs=CODE)

    def clean(self, value: str) -> str:
        code: str = super().clean(value).upper()
        if not code:
            return code
        if not (len(code) == 3 and code.isascii() and code.isalpha()):
            raise ValidationError("Give three letters, such as EUR.")
        return code


def _code(label: str, help_text: str) -> CurrencyField:
    return CurrencyField(label=label, help_text=help_text)


class ExchangeRatesForm(forms.Form):
    currency = _code("Currency", "Of the amounts, such as USD.")
    into = _code("Told in", "Such as EUR.")
    figures = YearlyFigures(
        label="Year and rate, a line each",
        help_text="Mean of the year: how much of the second currency one unit of the "
        "first was worth. 2024 0.9239 says that a dollar was 0.9239 euro. A year that "
        "stands already is changed; the history keeps what it was.",
    )
    source = forms.CharField(
        max_length=120, help_text="Where the figures come from, such as the treasury."
    )


class PriceLevelsForm(forms.Form):
    currency = _code("Currency", "Whose prices these are, such as EUR.")
    figures = YearlyFigures(
        label="Year and level, a line each",
        help_text="Mean of the year, any base year: only ratios of levels are used. "
        "A year that stands already is changed; the history keeps what it was.",
    )
    source = forms.CharField(
        max_length=120, help_text="Where the index comes from and what it is of."
    )
