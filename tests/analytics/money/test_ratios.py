from decimal import Decimal

import pytest

from analytics.money import ratios
from analytics.money.errors import InvalidFigure


@pytest.mark.parametrize(
    ("ratio", "figures", "expected"),
    [
        (ratios.maintenance_cost_ratio, (Decimal(180_000), Decimal(4_500_000)), 0.04),
        (ratios.availability, (8_322, 438), 0.95),
        (ratios.availability, (0, 5), 0),
        (ratios.operating_time_between_failures, (332_400, 20), 16_620),
        (ratios.operating_time_between_failures, (1000, 0), None),
        (ratios.mean_time_to_restore, (96, 8), 12),
        (ratios.mean_time_to_restore, (0, 0), None),
        (ratios.planned_hours_share, (1_500, 2_000), 0.75),
        (ratios.preventive_hours_share, (600, 2_000), 0.30),
        (ratios.preventive_cost_share, (Decimal(25), Decimal(100)), 0.25),
        (ratios.rework_ratio, (6, 120), 0.05),
        (ratios.overdue_share, (0, 12), 0),
        (ratios.cost_per_order, (Decimal(90_000), 12), 7_500),
    ],
)
def test_ratios_by_hand(ratio, figures, expected):
    assert ratio(*figures) == (
        expected if expected is None else pytest.approx(expected)
    )


@pytest.mark.parametrize(
    ("ratio", "figures", "sentence"),
    [
        (ratios.maintenance_cost_ratio, (1, 0), "replacement value must be above"),
        (ratios.maintenance_cost_ratio, (-1, 5), "maintenance cost must be zero"),
        (ratios.availability, (0, 0), "time watched must be above zero"),
        (ratios.availability, (5, -1), "down time must be zero or more"),
        (ratios.operating_time_between_failures, (-1, 1), "operating time must be"),
        (ratios.mean_time_to_restore, (4, 0), "time to restore but no failure"),
        (ratios.mean_time_to_restore, (-4, 1), "time to restore must be zero"),
        (ratios.planned_hours_share, (5, 4), "more planned man-hours than man-hours"),
        (ratios.preventive_hours_share, (0, 0), "sum of man-hours must be above"),
        (ratios.preventive_cost_share, (2, 1), "more preventive cost than maint"),
        (ratios.rework_ratio, (2, 1), "more repairs done again than repairs"),
        (ratios.overdue_share, (2, 1), "more orders overdue than orders due"),
        (ratios.cost_per_order, (5, 0), "number of orders must be above zero"),
    ],
)
def test_ratios_that_make_no_sense_are_refused(ratio, figures, sentence):
    with pytest.raises(InvalidFigure, match=sentence):
        ratio(*figures)
