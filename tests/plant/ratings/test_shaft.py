"""Stiffness of overhung shafts against numbers worked by hand."""

import math

import pytest

from plant.ratings import (
    STIFFNESS_LIMIT_PER_INCH,
    STIFFNESS_LIMIT_PER_MM,
    RatingError,
    Status,
    shaft_deflection_mm,
    shaft_stiffness_ratio,
    shaft_stiffness_ratio_per_inch,
)


# L^3 / D^4 as printed to four decimals: 220^3 / 45^4 and so on; the last is 6 in
# over 1.875 in.
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
    assert (ratio.unit, ratio.status) == ("1/mm", Status.FOUND)
    in_inches = shaft_stiffness_ratio_per_inch(overhang_mm, diameter_mm)
    assert in_inches == pytest.approx(per_inch, abs=5e-4)
    assert (in_inches.unit, in_inches.status) == ("1/in", Status.DERIVED)


def test_the_trades_two_limits_are_not_the_same():
    assert pytest.approx(2.3622, abs=5e-5) == STIFFNESS_LIMIT_PER_INCH / 25.4
    assert pytest.approx(50.8) == STIFFNESS_LIMIT_PER_MM * 25.4


@pytest.mark.parametrize(("overhang_mm", "diameter_mm"), [(0, 45), (220, 0), (-1, 45)])
def test_a_shaft_without_size_has_no_ratio(overhang_mm, diameter_mm):
    with pytest.raises(RatingError, match="of the shaft must be above zero"):
        shaft_stiffness_ratio(overhang_mm, diameter_mm)


def test_deflection_matches_the_hand_calculation():
    deflection = shaft_deflection_mm(1000, 220, 45)
    assert round(deflection.value, 5) == 0.08817
    assert (deflection.unit, deflection.status) == ("mm", Status.DERIVED)


def test_deflection_equals_that_from_the_second_moment_of_area():
    inertia_mm4 = math.pi * 50**4 / 64
    expected = -800 * 250**3 / (3 * 195_000 * inertia_mm4)
    assert shaft_deflection_mm(-800, 250, 50, 195) == pytest.approx(expected, rel=1e-12)


def test_no_force_bends_no_shaft():
    assert shaft_deflection_mm(0, 220, 45) == 0


@pytest.mark.parametrize(
    ("numbers", "refusal"),
    [
        ((None, 220, 45, 200), "The radial force must be a number"),
        ((1000, 0, 45, 200), "The overhang of the shaft must be above zero"),
        ((1000, 220, 45, 0), "The elastic modulus must be above zero"),
    ],
)
def test_deflection_refuses(numbers, refusal):
    with pytest.raises(RatingError, match=refusal):
        shaft_deflection_mm(*numbers)
