"""Names that only look alike make no second site, area, tag or pump."""

import io

import pytest

from plant.access import shell_user
from plant.models import Area, Position, Pump, Site
from tests.records.importing.sheets import as_csv, checked, faults, fleet, stored

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    "unseen", ["\ufeff", "\u200b", "\u200d", "\u2060", "\u00ad", "\u202e"]
)
def test_signs_that_nobody_sees_are_left_out(unseen):
    stored(as_csv(fleet()), shell_user())
    tables = fleet(
        positions__1__site=f"{unseen}North works",
        positions__1__area=f"Ac{unseen}ids",
        positions__1__tag=f"P-101A{unseen}",
        pumps__1__serial_number=f"SN{unseen}-1",
        repairs__1__repair_number=f"R-1{unseen}",
    )
    stored(as_csv(tables), shell_user())
    assert (Site.objects.count(), Area.objects.count()) == (1, 1)
    assert (Position.objects.count(), Pump.objects.count()) == (2, 2)


def test_joined_files_leave_no_byte_order_mark_in_a_name():
    content = "site,area,tag\nN,A,P-1\n\ufeffN,A,P-2\n".encode()
    stored([("positions.csv", io.BytesIO(content))], shell_user())
    assert list(Site.objects.values_list("name", flat=True)) == ["N"]


def test_a_no_break_space_and_a_parted_accent_are_the_plain_ones():
    stored(as_csv(fleet(positions__1__area="Pr\u00e9 1")), shell_user())
    again = fleet(positions__1__area="Pre\u0301\u00a01")
    assert checked(as_csv(again), shell_user()).plan.areas == []


@pytest.mark.parametrize("sign", ["\x01", "\x1b", "\x7f", "\x85"])
def test_a_control_character_in_a_name_is_a_fault(sign):
    tables = fleet(positions__2__tag=f"P-1{sign}01B")
    right = "A control character stands in this text: type it anew."
    assert ("positions", 3, "tag", right) in faults(as_csv(tables), shell_user())


def test_a_text_of_unseen_signs_alone_is_blank():
    found = faults(as_csv(fleet(positions__2__area="\u200b")), shell_user())
    assert ("positions", 3, "area", "This must be filled.") in found


def test_the_text_of_a_repair_keeps_its_lines():
    tables = fleet(repairs__1__text="Faces cracked.\nShaft worn.")
    assert stored(as_csv(tables), shell_user()).plan.repairs[0].given["text"] == (
        "Faces cracked.\nShaft worn."
    )


@pytest.mark.parametrize(
    ("column", "name", "other"),
    [
        ("site", "NORTH works", "North works"),
        ("area", "acids", "Acids"),
        ("tag", "p-101a", "P-101A"),
    ],
)
@pytest.mark.parametrize("is_stored", [False, True])
def test_other_capitals_are_a_fault_that_names_the_other(
    column, name, other, is_stored
):
    if is_stored:
        stored(as_csv(fleet()), shell_user())
    tables = fleet(**{f"positions__2__{column}": name})
    right = f"This differs from {other} only by capital letters: write it so."
    assert ("positions", 3, column, right) in faults(as_csv(tables), shell_user())


@pytest.mark.parametrize(
    ("changes", "fault"),
    [
        (
            {"repairs__1__stopped_at": "1900-03-01 09:00"},
            ("stopped_at", "This lies before 1950: check the year."),
        ),
        (
            {"repairs__1__stopped_at": "2011-03-01 09:00"},
            ("stopped_at", "Stopped long before it was reported: check the year."),
        ),
        (
            {"repairs__1__active_hours": "10001"},
            ("active_hours", "More than 10,000 cannot be: check the number."),
        ),
        (
            {"components__1__removed_hours": "1e8"},
            ("removed_hours", "More than 10,000,000 cannot be: check the number."),
        ),
    ],
)
def test_slips_of_years_and_hours_are_faults(changes, fault):
    found = faults(as_csv(fleet(**changes)), shell_user())
    assert fault in [(column, right) for _, _, column, right in found]
