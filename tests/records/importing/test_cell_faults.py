"""Cells that cannot be right, each with the sentence that says what would be."""

import pytest

from plant.access import shell_user
from tests.records.importing.sheets import as_csv, as_xlsx, checked, faults, fleet

pytestmark = pytest.mark.django_db

DATE = "Not a date: write it as 2018-01-31 or 2018-01-31 06:00."
NO_SUCH_DAY = (
    "There is no such day or time; write it as 2018-01-31 or 2018-01-31 06:00."
)
FUTURE = "This lies in the future: enter what has happened."
CASES = [
    ("positions__1__area", "", "This must be filled."),
    ("positions__1__area", "A" * 81, "At most 80 characters; this has 81."),
    ("positions__1__head_m", "twelve", "Not a number: write it as 12.5."),
    ("positions__1__head_m", "-3", "Must be 0 or more."),
    ("positions__1__head_m", "nan", "Not a number: write it as 12.5."),
    ("positions__1__head_m", "1e999", "This number is too large to be true."),
    (
        "positions__1__running_share",
        "1.2",
        "Write a share between 0 and 1, such as 0.85.",
    ),
    ("positions__1__criticality", "huge", "Allowed are: high; medium; low."),
    ("positions__1__in_service_on", "2020-02-30", NO_SUCH_DAY),
    ("positions__1__in_service_on", "1.2.2020", DATE),
    (
        "positions__1__in_service_on",
        "0020-01-01",
        "A year from 1900 to 2100 is expected.",
    ),
    (
        "positions__1__out_of_service_on",
        "2019-01-01",
        "It came into service only on 2020-01-01: this must not be earlier.",
    ),
    (
        "positions__1__needed_running",
        "2",
        "Name the spare_group that needs so many running.",
    ),
    (
        "pumps__1__removed_on",
        "2019-12-31",
        "It was placed only on 2020-01-01: this must not be earlier.",
    ),
    ("pumps__1__placed_on", "2099-01-01", FUTURE),
    (
        "pumps__1__tag",
        "P-999",
        "No such tag in the positions sheet or the register: correct it or add the "
        "position.",
    ),
    (
        "components__1__serial_number",
        "SN-9",
        "No such pump in the pumps sheet or the register: correct it or add the pump.",
    ),
    (
        "components__1__component",
        "coupling",
        "Allowed are: seal (Mechanical seal); radial bearing; thrust bearing; "
        "mechanical seal.",
    ),
    (
        "components__1__location",
        "top",
        "Allowed are: single; drive end; non-drive end; each with inner or outer "
        "behind it where two seals stand there.",
    ),
    (
        "components__1__removed_on",
        "2019-01-01",
        "It was fitted only on 2020-01-01: correct one.",
    ),
    (
        "components__1__removed_hours",
        "-1",
        "Must be 0 or more.",
    ),
    (
        "components__1__failed_on",
        "2022-01-01",
        "It was taken out on 2021-03-01: correct one.",
    ),
    (
        "components__1__started_on",
        "2019-01-01",
        "It was fitted only on 2020-01-01: correct one.",
    ),
    ("components__1__defect_detected", "perhaps", "Write yes or no."),
    (
        "components__2__reason_out",
        "failed",
        "It is still in: give removed_on, or leave this blank.",
    ),
    (
        "components__1__fitted_on",
        "",
        "Give the day it was fitted, or write unknown under beginning.",
    ),
    (
        "repairs__1__failure_mode",
        "",
        "A failure needs a failure mode; UNK stands for not known.",
    ),
    (
        "repairs__1__failure_mode",
        "ELPP",
        "Not a known code or word. Nearest: ELP (Process liquid leaks out).",
    ),
    (
        "repairs__1__mechanism",
        "9.9",
        "Not a known code or word: the template's notes list them all.",
    ),
    (
        "repairs__1__work_class",
        "emergency",
        "Allowed are: corrective; condition (Found by condition monitoring); "
        "preventive; modification; predictive found; found by monitoring.",
    ),
    ("repairs__1__reported_at", "2021-03-01 25:00", NO_SUCH_DAY),
    ("repairs__1__reported_at", "2021-02-29", NO_SUCH_DAY),
    (
        "repairs__1__returned_at",
        "2021-02-01",
        "It was stopped only on 2021-03-01 09:00:00: correct one.",
    ),
    ("repairs__1__currency", "Euro", "A currency is three letters, such as EUR."),
    ("repairs__1__parts_cost", "-5", "Must be 0 or more."),
    ("repairs__1__parts_cost", "1e30", "This amount is too large to be true."),
    (
        "repairs__1__tag",
        "P-101B",
        "Pump SN-1 stood at P-101A at that time: correct one.",
    ),
]


@pytest.mark.parametrize(("where", "value", "right"), CASES)
def test_a_wrong_cell_gives_one_fault_with_what_would_be_right(where, value, right):
    sheet, row, column = where.split("__")
    found = faults(as_csv(fleet(**{where: value})), shell_user())
    assert found == [(sheet, int(row) + 1, column, right)]


def test_the_sound_fleet_has_no_fault():
    assert faults(as_csv(fleet()), shell_user()) == []


def test_the_counter_cannot_run_backwards():
    tables = fleet(components__1__fitted_hours="6000")
    assert faults(as_csv(tables), shell_user()) == [
        (
            "components",
            2,
            "removed_hours",
            "The counter stood at 6000 at fitting: correct one.",
        )
    ]


def test_facts_of_an_ending_must_agree():
    tables = fleet(
        components__1__reason_out="failed", components__1__defect_detected="no"
    )
    assert faults(as_csv(tables), shell_user()) == [
        (
            "components",
            2,
            "reason_out",
            "reason_out says failed, defect_detected says no: make them agree.",
        )
    ]
    tables = fleet(
        components__1__reason_out="Sound", components__1__defect_detected="yes"
    )
    assert faults(as_csv(tables), shell_user()) == [
        (
            "components",
            2,
            "reason_out",
            "reason_out says sound, defect_detected says yes: if a defect was the "
            "reason, write failed.",
        )
    ]


def test_age_known_needs_an_age_and_an_age_needs_age_known():
    tables = fleet(components__1__beginning="age known")
    assert faults(as_csv(tables), shell_user()) == [
        (
            "components",
            2,
            "age_at_entry_days",
            "Give age_at_entry_days or age_at_entry_hours with age known.",
        )
    ]
    tables = fleet(components__1__age_at_entry_days="400")
    assert faults(as_csv(tables), shell_user()) == [
        (
            "components",
            2,
            "age_at_entry_days",
            "An age goes with beginning age known or condition_fitted refitted.",
        )
    ]


def test_an_ambiguous_number_is_not_guessed():
    tables = fleet(positions__1__head_m="1,234")
    assert faults(as_csv(tables), shell_user(), decimal=",") == [
        ("positions", row, "running_share", "Not a number: write it as 12,5.")
        for row in (2, 3)
    ] + [("repairs", 2, "parts_cost", "Not a number: write it as 12,5.")]
    tables = fleet(
        positions__1__head_m="1,234",
        positions__1__running_share="",
        positions__2__running_share="",
    )
    assert faults(as_csv(tables), shell_user()) == [
        (
            "positions",
            2,
            "head_m",
            "This can be read in two ways: choose the decimal sign and try again.",
        )
    ]
    del tables["repairs"]
    assert faults(as_csv(tables), shell_user(), decimal=",") == []


def test_a_number_in_a_column_of_dates_is_not_a_date():
    tables = fleet(repairs__1__reported_at=44256)
    assert faults(as_xlsx(tables), shell_user()) == [
        ("repairs", 2, "reported_at", DATE)
    ]


def test_a_hundred_thousand_faults_are_counted_and_the_first_thousand_kept():
    tables = fleet()
    tables["repairs"] = tables["repairs"][:1] + tables["repairs"][1:] * 100_000
    for number, row in enumerate(tables["repairs"][1:]):
        tables["repairs"][number + 1] = [f"R-{number}", *row[1:3], "gestern", *row[4:]]
    found = checked(as_csv(tables), shell_user())
    assert found.fault_count == 100_000
    assert [f.row for f in found.faults] == list(range(2, 1002))
    assert found.report.tally == {("repairs", "reported_at"): 100_000}
