"""Alignment limits of the trade's table and how a deviation is graded."""

import pytest

from plant.ratings import (
    AlignmentGrade,
    RatingError,
    Status,
    short_coupling_gap_mm,
    short_coupling_offset_mm,
    spacer_angle_mrad,
    spacer_offset_mm,
)


@pytest.mark.parametrize(
    ("speed_rpm", "offset_mm", "grade"),
    [
        (3000, 0.05, AlignmentGrade.ACCEPTABLE),
        (3000, -0.05, AlignmentGrade.ACCEPTABLE),
        (1500, 0.04, AlignmentGrade.EXCELLENT),
        (3000, 0.06, AlignmentGrade.ACCEPTABLE),
        (3000, 0.03, AlignmentGrade.EXCELLENT),
        (3000, 0.061, AlignmentGrade.OUTSIDE),
    ],
)
def test_an_offset_is_graded_by_speed(speed_rpm, offset_mm, grade):
    assert short_coupling_offset_mm(speed_rpm).grade(offset_mm) == grade


def test_a_spacer_may_be_out_of_line_by_its_length():
    limit = spacer_offset_mm(3000, 140)
    assert limit.acceptable == pytest.approx(0.098)
    assert limit.excellent == pytest.approx(0.056)
    assert (limit.acceptable.unit, limit.acceptable.status) == ("mm", Status.FOUND)


def test_a_gap_grows_with_the_diameter():
    limit = short_coupling_gap_mm(1500, 250)
    assert (limit.acceptable, limit.excellent) == pytest.approx((0.175, 0.125))


def test_an_angle_has_its_own_unit():
    limit = spacer_angle_mrad(750)
    assert (limit.acceptable, limit.excellent) == (2.5, 1.5)
    assert limit.excellent.unit == "mrad"


def test_a_speed_between_two_rows_takes_the_stricter():
    assert short_coupling_offset_mm(1480) == short_coupling_offset_mm(1500)
    assert short_coupling_offset_mm(1501) == short_coupling_offset_mm(3000)


@pytest.mark.parametrize(
    ("limit_of", "numbers", "refusal"),
    [
        (short_coupling_offset_mm, (6001,), "table ends at 6000 r/min"),
        (spacer_angle_mrad, (0,), "The speed must be above zero"),
        (spacer_offset_mm, (3000, 0), "The length of the spacer must be above zero"),
        (short_coupling_gap_mm, (3000, 0), "diameter of the coupling must be above"),
    ],
)
def test_what_the_table_cannot_answer_is_refused(limit_of, numbers, refusal):
    with pytest.raises(RatingError, match=refusal):
        limit_of(*numbers)


def test_a_deviation_must_be_a_number():
    with pytest.raises(RatingError, match="The deviation must be a number"):
        short_coupling_offset_mm(3000).grade(float("nan"))
