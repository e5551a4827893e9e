"""What no repair or reading can be: slips of the keyboard, not facts."""

from datetime import datetime, timedelta

FIRST_YEAR = 1950
LONGEST_BEFORE_REPORT = timedelta(days=366)
MOST_HOURS = 10_000
MOST_METER_HOURS = 10_000_000

TOO_EARLY = f"This lies before {FIRST_YEAR}: check the year."
STOPPED_LONG_BEFORE = "Stopped long before it was reported: check the year."
TOO_MANY_HOURS = f"More than {MOST_HOURS:,} hours: check the number."
METER_TOO_HIGH = f"More than {MOST_METER_HOURS:,} hours: check the number."


def is_too_early(moment: datetime) -> bool:
    return moment.year < FIRST_YEAR


def is_long_before(stopped_at: datetime, reported_at: datetime) -> bool:
    return reported_at - stopped_at > LONGEST_BEFORE_REPORT
