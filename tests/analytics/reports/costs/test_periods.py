"""Earlier periods hold the same days, and whole months stay whole."""

from datetime import date

import pytest

from analytics.exposure import Window
from analytics.reports.costs.periods import last_year, period_before


@pytest.mark.parametrize(
    ("days", "before", "year"),
    [
        # February of a leap year keeps its last day, whichever side it lies on.
        (
            ("2025-02-01", "2025-02-28"),
            ("2025-01-01", "2025-01-31"),
            ("2024-02-01", "2024-02-29"),
        ),
        (
            ("2024-02-01", "2024-02-29"),
            ("2024-01-01", "2024-01-31"),
            ("2023-02-01", "2023-02-28"),
        ),
        (
            ("2024-03-01", "2025-02-28"),
            ("2023-03-01", "2024-02-29"),
            ("2023-03-01", "2024-02-29"),
        ),
        (
            ("2024-02-01", "2024-02-28"),
            ("2024-01-04", "2024-01-31"),
            ("2023-02-01", "2023-02-28"),
        ),
        (
            ("2024-02-29", "2024-02-29"),
            ("2024-02-28", "2024-02-28"),
            ("2023-02-28", "2023-02-28"),
        ),
        (
            ("2025-06-11", "2025-06-20"),
            ("2025-06-01", "2025-06-10"),
            ("2024-06-11", "2024-06-20"),
        ),
    ],
)
def test_periods_set_beside_one(days, before, year):
    window, *expected = (
        Window(*map(date.fromisoformat, pair)) for pair in (days, before, year)
    )
    assert [period_before(window), last_year(window)] == expected
