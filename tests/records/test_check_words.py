"""Limits and stiffness in words."""

import pytest

from plant.choices import Mounting
from plant.models import Pump
from records.check_words import limit_in_words, stiffness_of


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [
        (None, 0.05, "at most 0.05 mm"),
        (0.25, None, "at least 0.25 mm"),
        (0.4, 0.5, "0.4 to 0.5 mm"),
        (None, None, "no limit"),
    ],
)
def test_a_limit_is_read_as_a_person_would_say_it(low, high, words):
    assert limit_in_words(low, high, "mm") == words


@pytest.mark.parametrize(
    ("overhang_mm", "diameter_mm", "above"), [(200.0, 45.0, False), (220.0, 45.0, True)]
)
def test_a_stiffness_ratio_says_on_which_side_of_the_limit_it_lies(
    overhang_mm, diameter_mm, above
):
    pump = Pump(shaft_overhang_mm=overhang_mm, shaft_diameter_mm=diameter_mm)
    stiffness = stiffness_of(pump)
    # 200^3 / 45^4 = 1.95 and 220^3 / 45^4 = 2.60; the trade's limit is 2 per mm.
    assert stiffness.is_above_limit is above
    assert "below 2 per mm, or below 60 per inch" in stiffness.limit_text


@pytest.mark.parametrize(
    "pump",
    [
        None,
        Pump(shaft_overhang_mm=200.0),
        Pump(shaft_overhang_mm=200, shaft_diameter_mm=45, mounting=Mounting.BETWEEN),
        Pump(shaft_overhang_mm=-1.0, shaft_diameter_mm=45.0),
    ],
)
def test_without_an_overhung_shaft_there_is_no_ratio(pump):
    assert stiffness_of(pump) is None
