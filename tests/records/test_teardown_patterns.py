"""The catalogue of patterns: complete, short, and coded in our vocabulary."""

from records.choices import Cause, Item, Mechanism
from records.models import TeardownFinding
from records.patterns.bearings import BEARINGS
from records.patterns.seals import SEALS
from records.teardown_patterns import PATTERN_BY_CODE, PATTERNS, patterns_of


def test_a_seal_has_nineteen_patterns():
    assert len(SEALS) == 19
    assert all(Item.SEAL in pattern.items for pattern in SEALS)


def test_bearing_patterns_name_iso_15243_and_fit_both_bearings():
    assert len(BEARINGS) == 14
    for pattern in BEARINGS:
        assert set(pattern.items) == {Item.RADIAL_BEARING, Item.THRUST_BEARING}
        assert pattern.source.startswith("ISO 15243")


def test_codes_are_unique_and_fit_the_table():
    longest = TeardownFinding._meta.get_field("pattern").max_length
    assert len(PATTERN_BY_CODE) == len(PATTERNS)
    assert all(len(pattern.code) <= longest for pattern in PATTERNS)
    # Fields of the page are named by the code with its blanks closed.
    assert len({code.replace(" ", "-") for code in PATTERN_BY_CODE}) == len(PATTERNS)


def test_every_pattern_suggests_codes_and_says_in_short_what_it_looks_like():
    for pattern in PATTERNS:
        assert pattern.mechanisms
        assert pattern.causes
        assert all(code in Mechanism for code in pattern.mechanisms)
        assert all(code in Cause for code in pattern.causes)
        assert 15 < len(pattern.description) <= 120, pattern.code
        assert pattern.source


def test_an_item_narrows_the_patterns_and_no_item_leaves_all():
    assert set(patterns_of(Item.SEAL)) >= set(SEALS)
    assert not set(patterns_of(Item.SEAL)) & set(BEARINGS)
    assert patterns_of("") == PATTERNS
    assert patterns_of(Item.UNKNOWN) == PATTERNS


def test_an_item_without_a_look_of_its_own_offers_all():
    assert patterns_of(Item.GEARBOX) == PATTERNS
