"""Permissible unbalance against numbers worked by hand."""

import pytest

from plant.ratings import (
    BALANCE_GRADES,
    RatingError,
    Status,
    api_permissible_unbalance_g_mm,
    permissible_specific_unbalance_um,
    permissible_unbalance_g_mm,
)


# With the usual rounded 9549 G m / n the last two are 244.71 and 1037.22.
@pytest.mark.parametrize(
    ("grade_mm_s", "mass_kg", "speed_rpm", "unbalance_g_mm"),
    [
        (2.5, 12, 2950, 97.11),
        (6.3, 12, 2950, 244.72),
        (6.3, 25, 1450, 1037.25),
    ],
)
def test_unbalance_matches_the_hand_calculation(
    grade_mm_s, mass_kg, speed_rpm, unbalance_g_mm
):
    found = permissible_unbalance_g_mm(grade_mm_s, mass_kg, speed_rpm)
    assert found == pytest.approx(unbalance_g_mm, abs=5e-3)
    assert (found.unit, found.status) == ("g mm", Status.DERIVED)


@pytest.mark.parametrize(("grade_mm_s", "micrometres"), [(2.5, 8.093), (6.3, 20.393)])
def test_specific_unbalance_matches_the_hand_calculation(grade_mm_s, micrometres):
    found = permissible_specific_unbalance_um(grade_mm_s, 2950)
    assert round(found.value, 3) == micrometres
    assert found.unit == "µm"


def test_the_tighter_option_is_four_weights_over_speed_in_inches():
    """4 W/N in ounce-inches with W in pounds, for 12 kg at 2950 r/min."""
    ounce_inches = 4 * (12 / 0.45359237) / 2950
    expected = ounce_inches * 28.349523125 * 25.4
    found = api_permissible_unbalance_g_mm(12, 2950)
    assert found == pytest.approx(expected, rel=1e-12)
    assert (found.unit, found.status) == ("g mm", Status.MEMORY)


def test_the_grades_say_how_sure_they_are():
    assert BALANCE_GRADES["general"] == 6.3
    assert BALANCE_GRADES["general"].status == Status.FOUND
    assert BALANCE_GRADES["tight"] == 2.5
    assert BALANCE_GRADES["tight"].status == Status.MEMORY


@pytest.mark.parametrize(
    ("numbers", "refusal"),
    [
        ((0, 12, 2950), "The balance grade must be above zero"),
        ((2.5, 0, 2950), "The mass of the rotor must be above zero"),
        ((2.5, 12, 0), "The speed must be above zero"),
    ],
)
def test_unbalance_refuses(numbers, refusal):
    with pytest.raises(RatingError, match=refusal):
        permissible_unbalance_g_mm(*numbers)


@pytest.mark.parametrize(
    ("numbers", "refusal"),
    [((0, 2950), "The mass on the plane"), ((12, -1), "The speed")],
)
def test_the_tighter_option_refuses(numbers, refusal):
    with pytest.raises(RatingError, match=f"{refusal} must be above zero"):
        api_permissible_unbalance_g_mm(*numbers)
