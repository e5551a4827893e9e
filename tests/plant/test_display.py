"""Every way a value is written, on ordinary values and at the edges."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from django.template import Context, Template
from django.utils import timezone

from plant import display

NBSP = "\u00a0"


@pytest.mark.parametrize(
    ("value", "digits", "shown"),
    [
        (28860.2, 6, "28,860.2"),
        (28860.2, 3, "28,900"),
        (4.4281, 5, "4.4281"),
        (2.5, 3, "2.50"),
        (9.999, 3, "10.0"),
        (999.6, 3, "1,000"),
        (0.00123456, 3, "0.00123"),
        (0.00001234, 3, "1.23 × 10⁻⁵"),
        (1.5e12, 2, "1.5 × 10¹²"),
        (-12.34, 3, "−12.3"),
        (-1.2e-9, 2, "−1.2 × 10⁻⁹"),
        (0.0, 3, "0"),
        (1234567, 3, "1,234,567"),
        (np.int64(1234), 2, "1,234"),
        (np.float64(1234.5), 2, "1,200"),
        (Decimal("12.345"), 3, "12.3"),
        (float("inf"), 3, "∞"),
        (float("-inf"), 3, "−∞"),
        (float("nan"), 3, "–"),
        (None, 3, "–"),
        ("", 3, "–"),
    ],
)
def test_number_keeps_significant_digits_and_never_rounds_a_count(value, digits, shown):
    assert display.number(value, digits) == shown


@pytest.mark.parametrize(
    ("value", "places", "shown"),
    [
        (1234.55, 1, "1,234.5"),
        (Decimal("0.125"), 2, "0.12"),
        (-0.04, 1, "0.0"),
        (-5, 0, "−5"),
        (None, 1, "–"),
    ],
)
def test_fixed_lines_up_decimals_and_drops_the_sign_of_zero(value, places, shown):
    assert display.fixed(value, places) == shown


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (0, f"0{NBSP}h"),
        (4.25, f"4.2{NBSP}h"),
        (12, f"12{NBSP}h"),
        (8760.4, f"8,760{NBSP}h"),
        (float("inf"), "∞"),
        (None, "–"),
    ],
)
def test_hours_show_tenths_only_below_a_hundred(value, shown):
    assert display.hours(value) == shown


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (1, f"1.0{NBSP}months"),
        (14.23, f"14.2{NBSP}months"),
        (16.04, f"16.0{NBSP}months"),
        (183.7, f"183.7{NBSP}months"),
        (float("inf"), "∞"),
        (None, "–"),
    ],
)
def test_months_keep_their_tenth(value, shown):
    assert display.months(value) == shown


def test_days_agree_with_their_number():
    assert display.days(1.04) == f"1{NBSP}day"
    assert display.days(0) == f"0{NBSP}days"


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (timedelta(hours=49), f"2{NBSP}d 1{NBSP}h"),
        (timedelta(hours=47, minutes=50), f"2{NBSP}d"),
        (timedelta(days=1, minutes=20), f"1{NBSP}d"),
        (2.5, f"2{NBSP}h 30{NBSP}min"),
        (timedelta(minutes=45), f"45{NBSP}min"),
        (timedelta(seconds=20), f"0{NBSP}min"),
        (timedelta(hours=-3), f"−3{NBSP}h"),
        (float("inf"), "–"),
        (None, "–"),
    ],
)
def test_duration_gives_the_two_largest_parts(value, shown):
    assert display.duration(value) == shown


def test_moments_are_shown_in_the_active_zone():
    late_evening = datetime(2025, 3, 7, 23, 30, tzinfo=UTC)
    with timezone.override(ZoneInfo("Europe/Vienna")):
        assert display.date_time(late_evening) == "2025-03-08 00:30"
        assert display.date(late_evening) == "2025-03-08"
    with timezone.override(UTC):
        assert display.date(late_evening) == "2025-03-07"


def test_a_plain_day_is_never_shifted():
    with timezone.override(ZoneInfo("Pacific/Auckland")):
        assert display.date(date(2025, 3, 7)) == "2025-03-07"
    assert display.date(None) == "–"
    assert display.date_time(None) == "–"


@pytest.mark.parametrize(
    ("share", "places", "shown"),
    [
        (0.9, 0, f"90{NBSP}%"),
        (0.1234, 1, f"12.3{NBSP}%"),
        (0, 0, f"0{NBSP}%"),
        (1, 1, f"100.0{NBSP}%"),
        (0.0004, 1, f"<\u202f0.1{NBSP}%"),
        (0.9996, 0, f">\u202f99{NBSP}%"),
        (12.5, 0, f"1,250{NBSP}%"),
        (None, 0, "–"),
    ],
)
def test_percent_keeps_nearly_none_apart_from_none(share, places, shown):
    assert display.percent(share, places) == shown


def test_money_is_exact_and_names_its_currency():
    assert display.money(Decimal("12345.6"), "EUR") == f"EUR{NBSP}12,345.60"
    assert display.money(Decimal("-7"), "EUR") == f"EUR{NBSP}−7.00"
    assert display.money(Decimal("1234567890123456.78")) == "1,234,567,890,123,456.78"
    assert display.money(1500, "EUR", places=0) == f"EUR{NBSP}1,500"
    assert display.money(None, "EUR") == "–"


def test_interval_says_which_end_is_open():
    assert display.interval(2.3, 4.1) == "2.30 to 4.10"
    assert display.interval(2.3, float("inf")) == "2.30 or more"
    assert display.interval(None, 4.1) == "up to 4.10"
    assert display.interval(0, 4.1) == "0 to 4.10"
    assert display.interval(None, None) == "–"
    assert display.interval(10, 20.5, display.hours) == f"10{NBSP}h to 20.5{NBSP}h"


def test_count_speaks_of_none_one_and_many():
    assert display.count(0, "repair") == "no repairs"
    assert display.count(1, "repair") == "1 repair"
    assert display.count(1204, "repair") == "1,204 repairs"
    assert display.count(2, "bearing life,bearing lives") == "2 bearing lives"
    assert display.count(1, "bearing life,bearing lives") == "1 bearing life"


def test_words_and_facts_may_be_unknown():
    assert display.text("plan 53B") == "plan 53B"
    assert display.text("") == "–"
    assert display.text(0) == "0"
    assert display.yes_no(True) == "yes"
    assert display.yes_no(False) == "no"
    assert display.yes_no(None) == "–"


def test_templates_get_the_same_words_through_filters():
    template = Template(
        "{% load display %}{{ age|hours }}, {{ low|interval:high }}, "
        '{{ seals|count:"seal" }}, {{ cost|money:"EUR" }}, {{ nowhere|date }}'
    )
    shown = template.render(
        Context({"age": 4.0, "low": 1.0, "high": 2.0, "seals": 2, "cost": Decimal("3")})
    )
    assert shown == f"4{NBSP}h, 1.00 to 2.00, 2 seals, EUR{NBSP}3.00, –"
