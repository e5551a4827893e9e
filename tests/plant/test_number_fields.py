"""Numbers typed with commas, points and blanks."""

import pytest
from django.core.exceptions import ValidationError

from plant.forms.numbers import TypedDecimalField, TypedFloatField, plain_number


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("6,5", "6.5"),
        ("6.5", "6.5"),
        ("1234,5", "1234.5"),
        ("0,125", "0.125"),
        ("12,3456", "12.3456"),
        ("1234.567", "1234.567"),
        ("1.234,50", "1234.50"),
        ("1,234.50", "1234.50"),
        ("1,234,567", "1234567"),
        ("1.234.567,8", "1234567.8"),
        ("1 234,5", "1234.5"),
        ("1\N{NARROW NO-BREAK SPACE}234", "1234"),
        ("1'234.50", "1234.50"),
        ("\N{MINUS SIGN}3,5", "-3.5"),
        (" 12 ", "12"),
        ("many", "many"),
        ("1e3", "1e3"),
    ],
)
def test_a_number_with_one_reading_is_read(typed, meant):
    assert plain_number(typed) == meant


@pytest.mark.parametrize(
    "typed",
    ["1,234", "1.234", "12.345", "1.2.3", "1,23.4", "12,34,567", "1,234 567", "1.,2"],
)
def test_other_numbers_are_asked_for_in_plain_writing(typed):
    with pytest.raises(ValidationError, match=r"Write it as 1234\.50\."):
        plain_number(typed)


def test_two_readings_are_both_named():
    with pytest.raises(ValidationError, match=r"1,234 may mean 1234 or 1\.2340"):
        plain_number("1,234")


@pytest.mark.parametrize("field", [TypedFloatField(), TypedDecimalField()])
def test_the_fields_read_a_decimal_comma(field):
    assert float(field.clean("1.234,50")) == 1234.5
    with pytest.raises(ValidationError, match="Enter a number"):
        field.clean("many")


@pytest.mark.parametrize(("stored", "shown"), [(1.234, "1.2340"), (60.0, 60)])
def test_a_stored_value_is_shown_as_it_is_read_back(stored, shown):
    field = TypedFloatField()
    assert field.prepare_value(stored) == shown
    assert field.clean(str(shown)) == stored
