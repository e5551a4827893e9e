"""Windows of time, exposure inside them, and events that lie in that exposure."""

import calendar
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
import numpy.typing as npt
import pandas as pd

MONTH_DAYS = 30.4375

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Window:
    """Whole days from `start` to `end`, both included."""

    start: date
    end: date

    @property
    def first_day(self) -> int:
        return self.start.toordinal()

    @property
    def day_after(self) -> int:
        return self.end.toordinal() + 1

    @property
    def months(self) -> float:
        return (self.day_after - self.first_day) / MONTH_DAYS

    @property
    def year_before(self) -> "Window":
        return Window(months_back(self.start, 12), months_back(self.end, 12))


def months_back(day: date, months: int) -> date:
    """The same day of an earlier month, or the last one that it has."""
    year, month = divmod(day.year * 12 + day.month - 1 - months, 12)
    last = calendar.monthrange(year, month + 1)[1]
    return date(year, month + 1, min(day.day, last))


def window_of_months(as_of: date, months: int) -> Window:
    """The months that end with the as-of day."""
    return Window(months_back(as_of, months) + timedelta(days=1), as_of)


def rolling_windows(as_of: date, *, points: int, months: int) -> list[Window]:
    """Windows of equal months, one ending each month up to the as-of day."""
    ends = [months_back(as_of, back) for back in reversed(range(points))]
    return [window_of_months(end, months) for end in ends]


def exposure_days(spans: pd.DataFrame, window: Window) -> Floats:
    """Days in service inside the window, one number a span."""
    start = np.maximum(spans["start_day"].to_numpy(), window.first_day)
    end = np.minimum(spans["end_day"].to_numpy(), window.day_after)
    return np.asarray(np.maximum(end - start, 0), dtype=float)


def rows_of(keys: pd.Series, table_keys: pd.Series) -> Ints:
    """Row number in `table_keys` of each key; -1 where there is none."""
    rows = pd.Index(table_keys).get_indexer(pd.Index(keys))
    return np.asarray(rows, dtype=np.int64)


def events_in_service(events: pd.DataFrame, spans: pd.DataFrame) -> Flags:
    """Whether each event happened while its position was in service."""
    rows = rows_of(events["position"], spans["position"])
    day = events["day"].to_numpy()
    if not len(spans):
        return np.zeros(len(events), dtype=bool)
    starts = spans["start_day"].to_numpy()[rows]
    ends = spans["end_day"].to_numpy()[rows]
    return np.asarray((rows >= 0) & (day >= starts) & (day < ends))


def events_in_windows(days: Ints, windows: Sequence[Window]) -> Ints:
    """How many of the days fall into each window; the days in any order."""
    ordered = np.sort(days)
    first = [window.first_day for window in windows]
    after = [window.day_after for window in windows]
    return np.searchsorted(ordered, after) - np.searchsorted(ordered, first)
