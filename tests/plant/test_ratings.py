"""Figures of one pump or position against numbers worked by hand."""

import pytest

from plant.ratings import off_best_efficiency, shaft_stiffness_ratio


# L^3 / D^4 in 1/mm as printed to four decimals: 220^3 / 45^4 and so on;
# the last is 6 in over 1.875 in.
@pytest.mark.parametrize(
    ("overhang_mm", "diameter_mm", "per_mm", "per_inch"),
    [
        (220, 45, 2.5967, 65.956),
        (200, 40, 3.1250, 79.375),
        (152.4, 47.625, 0.6880, 17.476),
    ],
)
def test_shaft_stiffness_ratio_matches_the_hand_calculation(
    overhang_mm, diameter_mm, per_mm, per_inch
):
    ratio = shaft_stiffness_ratio(overhang_mm, diameter_mm)
    assert ratio == pytest.approx(per_mm, abs=5e-5)
    assert ratio * 25.4 == pytest.approx(per_inch, abs=5e-4)


@pytest.mark.parametrize(("overhang_mm", "diameter_mm"), [(0, 45), (220, 0), (-1, 45)])
def test_a_shaft_without_size_has_no_ratio(overhang_mm, diameter_mm):
    with pytest.raises(ValueError, match="must be above zero"):
        shaft_stiffness_ratio(overhang_mm, diameter_mm)


def test_flow_below_best_efficiency_is_negative():
    assert off_best_efficiency(44.0, 50.0) == pytest.approx(-0.12)
    assert off_best_efficiency(55.0, 50.0) == pytest.approx(0.10)


@pytest.mark.parametrize(("flow", "best"), [(None, 50.0), (44.0, None), (44.0, 0.0)])
def test_distance_from_best_efficiency_needs_both_flows(flow, best):
    assert off_best_efficiency(flow, best) is None
