"""How each kind of value is written for a reader; no value is stored or rounded here.

Lowest app, so pages, messages and charts of every app use the same functions.
Exports write the numbers themselves.
"""

import math
from collections.abc import Callable
from datetime import date as Date
from datetime import datetime, timedelta
from decimal import Decimal
from numbers import Integral
from typing import SupportsFloat

from django.utils import timezone

NO_VALUE = "–"
NARROW_SPACE = "\u202f"
NO_BREAK_SPACE = "\u00a0"
MINUS = "−"
SUPERSCRIPTS = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")
SMALLEST_PLAIN = 1e-4
LARGEST_PLAIN = 1e9

Number = SupportsFloat | None


def _blank(value: object) -> bool:
    """Not-a-number, or the empty text a template passes for a missing variable."""
    return value == "" or value != value


def text(value: object) -> str:
    """Words as they are, a dash for nothing."""
    return NO_VALUE if value is None or _blank(value) else str(value)


def yes_no(value: bool | None) -> str:
    """A fact that may be unknown."""
    if value is None or _blank(value):
        return NO_VALUE
    return "yes" if value else "no"


def number(value: Number, digits: int = 3) -> str:
    """A measured value to significant digits; a whole count is never rounded.

    `number(28860.2, 6)` is 28,860.2 and `number(0.00123456)` is 0.00123.
    """
    if value is None or _blank(value):
        return NO_VALUE
    if isinstance(value, Integral):
        return _signed(f"{int(value):,}")
    size = float(value)
    if math.isinf(size):
        return "∞" if size > 0 else f"{MINUS}∞"
    if size == 0:
        return "0"
    rounded = float(f"{size:.{digits - 1}e}")
    power = math.floor(math.log10(abs(rounded)))
    if not SMALLEST_PLAIN <= abs(rounded) < LARGEST_PLAIN:
        mantissa = _signed(f"{rounded / 10.0**power:.{digits - 1}f}")
        return f"{mantissa} × 10{str(power).translate(SUPERSCRIPTS)}"
    return _signed(f"{rounded:,.{max(0, digits - 1 - power)}f}")


def fixed(value: Number, places: int = 1) -> str:
    """A value to a fixed number of decimals, for columns that must line up."""
    if value is None or _blank(value):
        return NO_VALUE
    return _signed(
        f"{value if isinstance(value, Decimal) else float(value):,.{places}f}"
    )


def _signed(digits: str) -> str:
    bare = digits.lstrip("-")
    is_zero = not bare.strip("0.,")
    return bare if is_zero or bare == digits else MINUS + bare


def hours(value: Number) -> str:
    """Hours with their unit: tenths below a hundred, whole hours above."""
    return _with_unit(value, "h", "h")


def months(value: Number) -> str:
    """Months with their unit, always to a tenth, as the tables show them."""
    if value is None or _blank(value):
        return NO_VALUE
    size = float(value)
    return number(size) if math.isinf(size) else f"{fixed(size)}{NO_BREAK_SPACE}months"


def days(value: Number) -> str:
    """Days with their unit: tenths below a hundred, whole days above."""
    return _with_unit(value, "day", "days")


def _with_unit(value: Number, one: str, many: str) -> str:
    if value is None or _blank(value):
        return NO_VALUE
    size = float(value)
    if math.isinf(size):
        return number(size)
    shown = fixed(size, 1 if abs(size) < 100 else 0).removesuffix(".0")
    return f"{shown}{NO_BREAK_SPACE}{one if shown == '1' else many}"


def duration(value: timedelta | Number) -> str:
    """A span in its two largest parts; a plain number is hours.

    `duration(timedelta(hours=49))` is 2 d 1 h.
    """
    if value is None or _blank(value):
        return NO_VALUE
    if not isinstance(value, timedelta):
        if not math.isfinite(float(value)):
            return NO_VALUE
        value = timedelta(hours=float(value))
    minutes = round(abs(value) / timedelta(minutes=1))
    if minutes >= 24 * 60:
        # Minutes would be noise on a span of days, so the hours take the rounding.
        minutes = round(minutes / 60) * 60
    whole_hours, minutes = divmod(minutes, 60)
    whole_days, whole_hours = divmod(whole_hours, 24)
    parts = [(whole_days, "d"), (whole_hours, "h"), (minutes, "min")]
    shown = [f"{size}{NO_BREAK_SPACE}{unit}" for size, unit in parts if size]
    sign = MINUS if value < timedelta(0) and shown else ""
    return sign + " ".join(shown or [f"0{NO_BREAK_SPACE}min"])


def date(value: Date | datetime | None) -> str:
    """A day as 2025-03-07: one width in a column, one reading in every country."""
    if value is None or _blank(value):
        return NO_VALUE
    return _local(value).strftime("%Y-%m-%d")


def date_time(value: datetime | None) -> str:
    """A moment in the active zone, the site's, as 2025-03-07 14:05."""
    if value is None or _blank(value):
        return NO_VALUE
    return _local(value).strftime("%Y-%m-%d %H:%M")


def _local(value: Date | datetime) -> Date | datetime:
    if isinstance(value, datetime) and timezone.is_aware(value):
        return timezone.localtime(value)
    return value


def percent(share: Number, places: int = 0) -> str:
    """A share between 0 and 1; what is not quite none or all never looks so."""
    if share is None or _blank(share):
        return NO_VALUE
    hundredths = float(share) * 100
    step = 10.0**-places
    shown = fixed(hundredths, places)
    if hundredths > 0 and float(shown.replace(",", "")) == 0:
        shown = f"<{NARROW_SPACE}{fixed(step, places)}"
    elif hundredths < 100 and shown == fixed(100, places):
        shown = f">{NARROW_SPACE}{fixed(100 - step, places)}"
    return f"{shown}{NO_BREAK_SPACE}%"


def money(amount: Decimal | int | None, currency: str = "", places: int = 2) -> str:
    """An exact amount behind its currency code."""
    if amount is None or _blank(amount):
        return NO_VALUE
    shown = fixed(Decimal(amount), places)
    return f"{currency}{NO_BREAK_SPACE}{shown}" if currency else shown


def interval(low: Number, high: Number, show: Callable[[Number], str] = number) -> str:
    """Two limits as 2.3 to 4.1; an open end is None or infinity."""
    open_below = _is_open(low)
    open_above = _is_open(high)
    if open_below and open_above:
        return NO_VALUE
    if open_above:
        return f"{show(low)} or more"
    if open_below:
        return f"up to {show(high)}"
    return f"{show(low)} to {show(high)}"


def _is_open(limit: Number) -> bool:
    return limit is None or _blank(limit) or not math.isfinite(float(limit))


def count(size: int, noun: str) -> str:
    """How many of something, in words for none: no repairs, 1 repair, 2 repairs.

    An irregular plural follows a comma: `count(2, "bearing life,bearing lives")`.
    """
    one, _, many = noun.partition(",")
    many = many or f"{one}s"
    if size == 0:
        return f"no {many}"
    return f"{number(size)} {one if size == 1 else many}"
