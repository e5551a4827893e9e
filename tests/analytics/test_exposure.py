"""Windows of days, calendar exposure inside them, and events in that exposure."""

from datetime import UTC, date, datetime

import numpy as np
import pandas as pd
import pytest

from analytics.exposure import (
    Window,
    events_in_service,
    events_in_windows,
    exposure_days,
    months_back,
    rolling_windows,
    window_of_months,
)
from plant.models import Position
from records.selectors.exposure import day_starts, service_spans
from tests.factories.plant import AreaFactory, PositionFactory, SiteFactory

YEAR_2024 = Window(date(2024, 1, 1), date(2024, 12, 31))


def spans(*days):
    starts, ends = zip(*days, strict=True)
    return pd.DataFrame(
        {
            "position": range(len(days)),
            "start_day": [day.toordinal() for day in starts],
            "end_day": [day.toordinal() for day in ends],
        }
    )


def test_a_window_counts_both_of_its_days():
    assert Window(date(2024, 3, 1), date(2024, 3, 1)).months == pytest.approx(
        1 / 30.4375
    )


def test_four_years_with_one_leap_day_are_exactly_48_months():
    assert Window(date(2021, 1, 1), date(2024, 12, 31)).months == 48.0


@pytest.mark.parametrize(
    ("day", "months", "earlier"),
    [
        (date(2024, 3, 31), 1, date(2024, 2, 29)),
        (date(2024, 1, 15), 1, date(2023, 12, 15)),
        (date(2024, 2, 29), 12, date(2023, 2, 28)),
        (date(2024, 12, 31), 24, date(2022, 12, 31)),
    ],
)
def test_months_back_keeps_the_day_where_the_month_has_it(day, months, earlier):
    assert months_back(day, months) == earlier


def test_twelve_months_to_a_day_begin_the_day_after_that_day_a_year_before():
    window = window_of_months(date(2025, 6, 30), 12)
    assert window == Window(date(2024, 7, 1), date(2025, 6, 30))


def test_rolling_windows_end_month_by_month_with_the_as_of_day():
    windows = rolling_windows(date(2025, 3, 31), points=3, months=12)
    assert [window.end for window in windows] == [
        date(2025, 1, 31),
        date(2025, 2, 28),
        date(2025, 3, 31),
    ]


def test_exposure_is_cut_by_the_window_and_by_both_ends_of_service():
    table = spans(
        (date(2020, 1, 1), date(2030, 1, 1)),
        (date(2024, 7, 1), date(2030, 1, 1)),
        (date(2020, 1, 1), date(2024, 2, 1)),
        (date(2020, 1, 1), date(2023, 2, 1)),
        (date(2025, 1, 1), date(2030, 1, 1)),
    )
    assert exposure_days(table, YEAR_2024).tolist() == [366.0, 184.0, 31.0, 0.0, 0.0]


def test_an_event_counts_on_the_first_day_of_service_and_not_on_the_day_it_left():
    table = spans((date(2024, 1, 10), date(2024, 2, 10)))
    events = pd.DataFrame(
        {
            "position": [0, 0, 0, 0, 7],
            "day": [
                date(2024, 1, 9).toordinal(),
                date(2024, 1, 10).toordinal(),
                date(2024, 2, 9).toordinal(),
                date(2024, 2, 10).toordinal(),
                date(2024, 1, 20).toordinal(),
            ],
        }
    )
    inside = events_in_service(events, table)
    assert inside.tolist() == [False, True, True, False, False]


def test_events_in_windows_equal_a_plain_count():
    rng = np.random.default_rng(4)
    days = rng.integers(date(2020, 1, 1).toordinal(), date(2025, 1, 1).toordinal(), 300)
    windows = rolling_windows(date(2024, 12, 31), points=36, months=12)
    plain = [
        sum(window.first_day <= day < window.day_after for day in days)
        for window in windows
    ]
    assert events_in_windows(days, windows).tolist() == plain


@pytest.mark.django_db
def test_service_begins_with_the_later_of_in_service_and_start_of_records():
    site = SiteFactory(records_from=date(2021, 1, 1))
    area = AreaFactory(site=site)
    for tag, in_service, own in (
        ("A", date(2020, 1, 1), None),
        ("B", date(2022, 5, 1), None),
        ("C", date(2020, 1, 1), date(2020, 6, 1)),
        ("D", None, None),
    ):
        PositionFactory(area=area, tag=tag, in_service_on=in_service, records_from=own)
    table = service_spans(Position.objects.all())
    assert [date.fromordinal(day) for day in table["start_day"]] == [
        date(2021, 1, 1),
        date(2022, 5, 1),
        date(2020, 6, 1),
        date(2021, 1, 1),
    ]


@pytest.mark.django_db
def test_a_position_of_which_no_beginning_is_known_says_so():
    PositionFactory(in_service_on=None)
    assert service_spans(Position.objects.all())["known_start"].tolist() == [False]


def test_a_day_begins_at_midnight_of_its_zone():
    day = np.array([date(2024, 7, 1).toordinal()] * 2)
    zones = np.array(["UTC", "Europe/Amsterdam"], dtype=object)
    utc, summer = day_starts(day, zones)
    assert utc == datetime(2024, 7, 1, tzinfo=UTC).timestamp()
    assert utc - summer == 2 * 3600
