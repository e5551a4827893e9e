"""The periods that a cost report sets side by side."""

from dataclasses import dataclass
from datetime import date, timedelta

from analytics.exposure import Window, months_back

A_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Period:
    """Whole days under a heading."""

    key: str
    label: str
    window: Window


Periods = tuple[Period, Period, Period]


def periods_of(window: Window) -> Periods:
    """The period, the one before it of the same length, the same days last year."""
    return (
        Period("this", "This period", window),
        Period("before", "Period before", period_before(window)),
        Period("last_year", "Same days last year", last_year(window)),
    )


def last_year(window: Window) -> Window:
    """The same days; a month that ends with the period ends it there as well."""
    after = window.end + A_DAY
    if after.day != 1:
        return window.year_before
    return Window(window.year_before.start, months_back(after, 12) - A_DAY)


def period_before(window: Window) -> Window:
    """As many whole months, where the period is whole months; else as many days."""
    end = window.start - A_DAY
    months = whole_months(window)
    if months:
        return Window(months_back(window.start, months), end)
    return Window(end - (window.end - window.start), end)


def whole_months(window: Window) -> int:
    """How many months lie between its ends, 0 if not a whole number."""
    after = window.end + A_DAY
    months = (after.year - window.start.year) * 12 + after.month - window.start.month
    is_whole = months > 0 and months_back(after, months) == window.start
    return months if is_whole else 0


def calendar_months(end: date, *, points: int) -> list[Window]:
    """The month of `end`, cut there, and the whole ones before it, oldest first."""
    first = end.replace(day=1)
    firsts = [months_back(first, back) for back in reversed(range(points))]
    lasts = [*(start - A_DAY for start in firsts[1:]), end]
    return [Window(*days) for days in zip(firsts, lasts, strict=True)]
