"""Days and moments as files write them; a bare day stays a day until it is placed."""

import re
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

ISO = re.compile(
    r"\d{4}-\d{2}-\d{2}(?:[T ]\d{2}:\d{2}(?::\d{2}(?:\.\d{1,6})?)?"
    r"(?:Z|[+-]\d{2}:?\d{2})?)?"
)
LOOSE_ISO = re.compile(
    r"(?P<year>\d{4})[-/.](?P<month>\d{1,2})[-/.](?P<day>\d{1,2})"
    r"(?:[T ]+(?P<hour>\d{1,2}):(?P<minute>\d{2})(?::(?P<second>\d{2}))?)?"
)
DAY_OR_MONTH_FIRST = re.compile(
    r"(?P<first>\d{1,2})[-/.](?P<second_part>\d{1,2})[-/.](?P<year>\d{4})"
    r"(?:[T ,]+(?P<hour>\d{1,2}):(?P<minute>\d{2})(?::(?P<second>\d{2}))?)?"
)
EXAMPLES = {
    "iso": "2018-01-31 or 2018-01-31 06:00",
    "dmy": "31.1.2018 or 31.1.2018 06:00",
    "mdy": "1/31/2018 or 1/31/2018 06:00",
}
FIRST_YEAR, LAST_YEAR = 1900, 2100


class NotAMoment(ValueError):
    """The message says what would be right."""


def moment_of(cell: object, order: str) -> date | datetime:
    """A bare day as date, anything with a time as datetime."""
    if isinstance(cell, str):
        moment = _from_text(cell, order)
    elif isinstance(cell, date):
        moment = cell
    else:
        raise NotAMoment(f"Not a date: write it as {EXAMPLES[order]}.")
    if not FIRST_YEAR <= moment.year <= LAST_YEAR:
        raise NotAMoment(f"A year from {FIRST_YEAR} to {LAST_YEAR} is expected.")
    if isinstance(moment, datetime) and not isinstance(cell, str):
        return _to_second(moment)
    return moment


def _to_second(cell: datetime) -> date | datetime:
    # Spreadsheets keep days as floats, and know no bare day: midnight is one.
    rounded = (cell + timedelta(microseconds=500_000)).replace(microsecond=0)
    if rounded.tzinfo is None and rounded.time() == time.min:
        return rounded.date()
    return rounded


def _from_text(word: str, order: str) -> date | datetime:
    try:
        if ISO.fullmatch(word):
            if len(word) == 10:
                return date.fromisoformat(word)
            return datetime.fromisoformat(word)
        # Four digits in front can only be a year, whatever order was chosen.
        match = LOOSE_ISO.fullmatch(word)
        if match is None and order != "iso":
            match = DAY_OR_MONTH_FIRST.fullmatch(word)
        if match is not None:
            return _from_parts(match.groupdict(), order)
    except ValueError:
        raise NotAMoment(
            f"There is no such day or time; write it as {EXAMPLES[order]}."
        ) from None
    raise NotAMoment(f"Not a date: write it as {EXAMPLES[order]}.")


def _from_parts(parts: dict[str, str | None], order: str) -> date | datetime:
    if parts.get("month"):
        month, day = parts["month"], parts["day"]
    elif order == "dmy":
        day, month = parts["first"], parts["second_part"]
    else:
        month, day = parts["first"], parts["second_part"]
    when = date(int(parts["year"] or 0), int(month or 0), int(day or 0))
    if parts["hour"] is None:
        return when
    clock = time(
        int(parts["hour"]), int(parts["minute"] or 0), int(parts["second"] or 0)
    )
    return datetime.combine(when, clock)


def placed(
    moment: date | datetime, zone: ZoneInfo, *, not_before: datetime | None = None
) -> datetime:
    """The moment in UTC; times without an offset are those of the site's clock.

    A bare day is its midnight, or `not_before` when that lies on the same day: a
    part fitted at 6:00 and taken out "that day" was not taken out at midnight.
    """
    if not isinstance(moment, datetime):
        begin = datetime.combine(moment, time.min, zone).astimezone(UTC)
        if (
            not_before is not None
            and begin < not_before
            and not_before.astimezone(zone).date() == moment
        ):
            return not_before
        return begin
    if moment.tzinfo is None:
        moment = moment.replace(tzinfo=zone)
    return moment.astimezone(UTC)
