"""Optional columns that say how pumps and couplings are built."""

import pytest

from plant.access import shell_user
from plant.models import Position, Pump
from tests.records.importing.sheets import as_csv, checked, counts, fleet, stored

pytestmark = pytest.mark.django_db
PUMP_WORDS = (("mounting", "Overhung"), ("impeller_kind", "closed"))
POSITION_WORDS = (
    ("coupling", "With spacer"),
    ("spacer_length_mm", "140"),
    ("vibration_category", "II"),
)


def with_columns(sheet, columns):
    tables = fleet()
    for name, word in columns:
        tables[sheet][0].append(name)
        for row in tables[sheet][1:]:
            row.append(word)
    return tables


def test_they_are_read_as_words_in_any_case():
    columns = (*PUMP_WORDS, ("has_sleeve", "yes"))
    found = stored(as_csv(with_columns("pumps", columns)), shell_user())
    assert not found.faults
    pump = Pump.objects.get(serial_number="SN-1")
    assert (pump.mounting, pump.impeller_kind, pump.has_sleeve) == (
        "overhung",
        "closed",
        True,
    )


def test_couplings_are_read_with_the_length_of_the_spacer():
    tables = with_columns("positions", POSITION_WORDS)
    assert not stored(as_csv(tables), shell_user()).faults
    position = Position.objects.get(tag="P-101A")
    assert (position.coupling, position.spacer_length_mm) == ("spacer", 140)
    assert position.vibration_category == "2"


def test_absent_columns_leave_them_unknown():
    stored(as_csv(fleet()), shell_user())
    pump = Pump.objects.get(serial_number="SN-1")
    assert (pump.mounting, pump.impeller_kind, pump.has_sleeve) == ("", "", None)
    assert Position.objects.get(tag="P-101A").coupling == ""


def test_they_are_filled_in_later_and_blank_changes_nothing():
    stored(as_csv(fleet()), shell_user())
    tables = with_columns("pumps", (*PUMP_WORDS, ("has_sleeve", "no")))
    assert counts(stored(as_csv(tables), shell_user()))["pumps"] == (0, 2, 0)
    blank = with_columns("pumps", (("mounting", ""), ("has_sleeve", "")))
    assert counts(stored(as_csv(blank), shell_user()))["pumps"] == (0, 0, 2)
    assert Pump.objects.get(serial_number="SN-1").has_sleeve is False


def test_a_word_that_is_none_of_them_is_a_fault():
    tables = with_columns("pumps", (("mounting", "sideways"),))
    faults = checked(as_csv(tables), shell_user()).faults
    assert {fault.column for fault in faults} == {"mounting"}
