"""Units and limits that are shipped."""

import pytest

from records.check_catalogue import CATALOGUE, DESCRIPTIONS
from records.check_choices import Certainty, CheckKind


def test_every_kind_is_described_once():
    assert list(CATALOGUE) == list(CheckKind)
    assert len(DESCRIPTIONS) == len(CATALOGUE)


def test_each_kind_can_be_typed_in_the_unit_it_is_stored_in():
    for described in DESCRIPTIONS:
        assert described.units[described.unit] == 1
        assert described.how.endswith(".")
        assert described.source


@pytest.mark.parametrize(
    ("kind", "unit", "factor"),
    [
        (CheckKind.END_PLAY, "µm", 0.001),
        (CheckKind.END_PLAY, "mil", 0.0254),
        (CheckKind.END_PLAY, "inch", 25.4),
        # A gap of 0.1 mm over 100 mm is an angle of 0.001.
        (CheckKind.ANGULARITY, "mrad", 0.1),
        # 0.001 inch over ten inches is an angle of 0.0001.
        (CheckKind.ANGULARITY, "mil/10 in", 0.01),
        (CheckKind.BALANCE, "oz in", 720.077887375),
    ],
)
def test_units_lead_to_the_stored_one(kind, unit, factor):
    assert CATALOGUE[kind].units[unit] == pytest.approx(factor, rel=1e-9)


def test_a_limit_from_memory_says_so():
    memory = {d.kind for d in DESCRIPTIONS if d.certainty == Certainty.MEMORY}
    assert memory == {CheckKind.DEFLECTION, CheckKind.WEAR_RING, CheckKind.PIPE_STRAIN}
