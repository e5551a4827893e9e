from decimal import Decimal

import numpy as np
import pytest

from analytics.money import figures
from analytics.money.errors import InvalidFigure, MoneyError


@pytest.mark.parametrize("value", [None, "ten", [1, 2], float("nan"), float("inf")])
def test_what_is_no_number_is_refused_by_its_name(value):
    with pytest.raises(InvalidFigure, match="The price is"):
        figures.known(value, "price")


def test_a_refusal_is_a_money_error_and_a_value_error():
    with pytest.raises(MoneyError):
        figures.known(None, "price")
    with pytest.raises(ValueError, match="The price is not a number."):
        figures.known(None, "price")


def test_ledger_sums_become_plain_numbers():
    found = figures.known(Decimal("12.50"), "price")
    assert (found, type(found)) == (12.5, float)


@pytest.mark.parametrize(
    ("check", "inside", "outside"),
    [
        (figures.above_zero, [1e-9, 5], [0, -1]),
        (figures.zero_or_more, [0, 5], [-1e-9]),
        (figures.share_of_one, [0.01, 1], [0, 1.01, -0.5]),
        (figures.yearly_rate, [-0.99, 0, 0.08, 10], [-1, 10.5]),
        (figures.whole_years, [1, 100], [0, 101, 2.5]),
        (figures.checked_share, [0.01, 0.99], [0, 1]),
    ],
)
def test_ranges_end_where_they_say(check, inside, outside):
    assert [check(value, "figure") for value in inside] == inside
    for value in outside:
        with pytest.raises(InvalidFigure, match="The figure must"):
            check(value, "figure")


def test_payments_are_one_number_a_year():
    found = figures.payments([Decimal("1.5"), 2, np.float64(3)], "cash flows")
    assert found.tolist() == [1.5, 2, 3]
    assert figures.payments([0] * 101, "cash flows").size == 101
    for wrong in ([], [0] * 102):
        with pytest.raises(InvalidFigure, match="The cash flows must be one number"):
            figures.payments(wrong, "cash flows")
