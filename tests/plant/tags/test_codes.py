"""Codes on tags: read as printed, and never taken for another after a slip."""

from itertools import product

import pytest

from plant.tags.codes import CHECK_LETTERS, TagCode, TagKind, code_read

CODES = [TagCode(kind, pk) for kind, pk in product(TagKind, (1, 7, 45, 117, 9_876_543))]


@pytest.mark.parametrize("code", CODES, ids=str)
def test_a_code_is_read_as_printed_and_as_in_the_address(code):
    assert code_read(str(code)) == code
    assert code_read(f"{code.kind.lower()}/{code.ending}/") == code
    assert code_read(str(code).replace(" ", "").lower()) == code


@pytest.mark.parametrize("code", CODES, ids=str)
def test_one_wrong_digit_is_always_noticed(code):
    digits, letter = code.ending[:-1], code.ending[-1]
    for place, digit in product(range(len(digits)), "0123456789"):
        slip = f"{digits[:place]}{digit}{digits[place + 1 :]}"
        if slip != digits:
            assert code_read(f"{code.kind}{slip}{letter}") is None, slip


def test_two_swapped_digits_are_always_noticed():
    ending = TagCode(TagKind.POSITION, 1_234_567).ending
    for place in range(6):
        first, second = ending[place], ending[place + 1]
        slip = f"{ending[:place]}{second}{first}{ending[place + 2 :]}"
        assert code_read(f"T{slip}") is None, slip


def test_the_code_of_a_position_is_never_that_of_a_pump():
    for pk in range(1, 200):
        assert code_read(f"P{TagCode(TagKind.POSITION, pk).ending}") is None


def test_no_check_letter_is_that_of_a_spare_pump_or_looks_like_a_digit():
    assert len(set(CHECK_LETTERS)) == 13
    assert set(CHECK_LETTERS).isdisjoint("ABCDEFIOQSZG")


@pytest.mark.parametrize(
    "text", ["", "T", "117", "X 117H", "T 0117H", "P-101A", "T 117H 2", "T ١H"]
)
def test_what_is_no_code_is_not_read(text):
    assert code_read(text) is None
