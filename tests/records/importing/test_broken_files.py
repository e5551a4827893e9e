"""Files that cannot be read: each gives a sentence, never a stack trace."""

import io
import zipfile

import openpyxl
import pytest

from plant.access import shell_user
from tests.records.importing.sheets import as_csv, as_xlsx, faults, fleet

pytestmark = pytest.mark.django_db


def sent(name, content):
    return [(name, io.BytesIO(content))]


def one_fault(files, **options):
    (fault,) = faults(files, shell_user(), **options)
    return fault


def test_a_wrong_encoding_names_the_line():
    content = "site,area,tag\nNord,Säuren,P-1\n".encode("cp1252")
    assert one_fault(sent("positions.csv", content)) == (
        "positions.csv",
        2,
        "",
        "This is not utf-8 text: save the file as UTF-8, or choose the encoding it was "
        "saved in.",
    )
    assert faults(sent("positions.csv", content), shell_user(), encoding="cp1252") == []


def test_a_file_of_two_byte_letters_says_so():
    content = "site,area,tag\nNorth,Acids,P-1\n".encode("utf-16-le")
    assert one_fault(sent("positions.csv", content)) == (
        "positions.csv",
        1,
        "",
        "There are zero bytes in this file: it is not text, or it is UTF-16. Save it "
        "as UTF-8.",
    )
    sound = "site,area,tag\nNorth,Acids,P-1\n".encode("utf-16")
    assert faults(sent("positions.csv", sound), shell_user(), encoding="utf-16") == []


def test_an_empty_file():
    assert one_fault(sent("pumps.csv", b"")) == (
        "pumps.csv",
        0,
        "",
        "It is empty: put a heading and rows into it.",
    )


def test_a_heading_alone():
    assert one_fault(sent("pumps.csv", b"serial_number,tag\n")) == (
        "pumps.csv",
        1,
        "",
        "There is only a heading: add rows, or leave the file out.",
    )


def test_a_file_over_the_limit(settings):
    settings.IMPORT_FILE_LIMIT_BYTES = 2 * 1024 * 1024
    content = b"serial_number,tag\n" + b"SN-1,P-1\n" * 300_000
    assert one_fault(sent("pumps.csv", content)) == (
        "pumps.csv",
        0,
        "",
        "The file is larger than 2 MB: split it by area or year.",
    )


@pytest.mark.parametrize("content", [b"", b"site;area;tag\n", b"%PDF-1.7 ..."])
def test_a_workbook_that_is_not_one(content):
    assert one_fault(sent("fleet.xlsx", content)) == (
        "fleet.xlsx",
        0,
        "",
        "This is not a workbook: save it as .xlsx.",
    )


def test_an_archive_that_is_no_workbook():
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as container:
        container.writestr("positions.csv", "site,area,tag\n")
    assert one_fault(sent("fleet.xlsx", packed.getvalue())) == (
        "fleet.xlsx",
        0,
        "",
        "This is not a workbook: save it as .xlsx.",
    )


def test_a_workbook_with_a_password_or_of_the_old_kind():
    content = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(100)
    assert one_fault(sent("fleet.xlsx", content)) == (
        "fleet.xlsx",
        0,
        "",
        "This workbook is in the old format or has a password: save it as .xlsx "
        "without one.",
    )


def test_a_workbook_cut_short():
    whole = as_xlsx(fleet())[0][1].getvalue()
    assert one_fault(sent("fleet.xlsx", whole[: len(whole) // 2])) == (
        "fleet.xlsx",
        0,
        "",
        "This is not a workbook: save it as .xlsx.",
    )


def broken_part(part, content):
    """A sound workbook with one part replaced."""
    packed = io.BytesIO()
    with (
        zipfile.ZipFile(as_xlsx(fleet())[0][1]) as source,
        zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as target,
    ):
        for name in source.namelist():
            target.writestr(name, content if name == part else source.read(name))
    return packed.getvalue()


def test_a_workbook_with_a_damaged_sheet():
    with zipfile.ZipFile(as_xlsx(fleet())[0][1]) as sound:
        sheet = sound.read("xl/worksheets/sheet2.xml")
    content = broken_part("xl/worksheets/sheet2.xml", sheet[: len(sheet) // 2])
    found = faults(sent("fleet.xlsx", content), shell_user())
    assert (
        "fleet.xlsx, sheet pumps",
        0,
        "",
        "This sheet is damaged: save it anew as .xlsx.",
    ) in found


def test_a_workbook_that_unpacks_to_an_absurd_size(settings):
    settings.IMPORT_FILE_LIMIT_BYTES = 1024 * 1024
    content = broken_part("xl/worksheets/sheet2.xml", bytes(20 * 1024 * 1024))
    assert len(content) < settings.IMPORT_FILE_LIMIT_BYTES
    assert one_fault(sent("fleet.xlsx", content)) == (
        "fleet.xlsx",
        0,
        "",
        "This workbook unpacks to an absurd size: save its sheets as CSV files.",
    )


def test_a_workbook_with_entities_of_its_own():
    bomb = b'<!DOCTYPE a [<!ENTITY b "c">]><worksheet>&b;</worksheet>'
    content = broken_part("xl/worksheets/sheet2.xml", bomb)
    assert one_fault(sent("fleet.xlsx", content)) == (
        "fleet.xlsx",
        0,
        "",
        "This workbook holds what no sheet needs.",
    )


def test_a_spreadsheet_named_csv():
    content = as_xlsx(fleet())[0][1].getvalue()
    assert one_fault(sent("positions.csv", content)) == (
        "positions.csv",
        0,
        "",
        "This is a spreadsheet, not text: give it the ending .xlsx, or save it as CSV.",
    )


def test_a_workbook_without_a_known_sheet():
    book = openpyxl.Workbook()
    book.active.title = "data"
    packed = io.BytesIO()
    book.save(packed)
    assert one_fault(sent("fleet.xlsx", packed.getvalue())) == (
        "fleet.xlsx",
        0,
        "",
        "No sheet is named positions, pumps, components or repairs: name at least one "
        "so.",
    )


def test_formulas_and_their_errors_are_not_values():
    tables = fleet(positions__1__head_m="=A1+1", positions__2__head_m="#N/A")
    assert faults(as_xlsx(tables), shell_user()) == [
        ("positions", 2, "head_m", "This is a formula: paste its value instead."),
        (
            "positions",
            3,
            "head_m",
            "This is the error of a formula: paste a value, or leave it blank.",
        ),
    ]


def test_a_blank_sheet_of_a_workbook_is_left_out():
    tables = {**fleet(), "components": fleet()["components"][:1]}
    assert faults(as_xlsx(tables), shell_user()) == []
    only_headings = {sheet: rows[:1] for sheet, rows in fleet().items()}
    assert len(faults(as_xlsx(only_headings), shell_user())) == 4


def test_a_quotation_mark_that_is_never_closed():
    content = b'serial_number,tag\nSN-1,"P-1\nSN-2,P-2\n'
    assert one_fault(sent("pumps.csv", content)) == (
        "pumps.csv",
        2,
        "",
        "A quotation mark is opened in this row or below and never closed.",
    )


def test_a_row_wider_than_the_heading():
    content = b"site,area,tag,head_m\nNorth,Acids,P-1,12,5\n"
    assert one_fault(sent("positions.csv", content)) == (
        "positions",
        2,
        "",
        "The row has more cells than the heading: does a text or a number hold the "
        "separator without quotation marks?",
    )


def test_a_file_whose_table_cannot_be_told():
    assert one_fault(sent("data.csv", b"a,b\n1,2\n")) == (
        "data.csv",
        0,
        "",
        "It is not clear which table this is: name the file positions.csv, pumps.csv, "
        "components.csv or repairs.csv.",
    )


def test_the_heading_tells_the_table_of_a_file_with_another_name():
    content = b"site,area,tag\nNorth,Acids,P-1\n"
    assert faults(sent("export 2025.csv", content), shell_user()) == []


def test_two_files_for_one_table():
    again = ("positions 2.csv", as_csv(fleet())[0][1])
    assert one_fault([*as_csv(fleet()), again]) == (
        "positions 2.csv",
        0,
        "",
        "The sheet positions is already in positions.csv: put its rows into one file.",
    )


def test_other_endings_are_refused():
    assert one_fault(sent("fleet.ods", b"PK")) == (
        "fleet.ods",
        0,
        "",
        "Only files ending in .csv or .xlsx can be imported.",
    )


def test_no_file_at_all():
    assert one_fault([]) == ("", 0, "", "No file was given: choose at least one.")


def test_a_missing_column_is_named_and_stops_what_depends_on_it():
    tables = fleet()
    tables["positions"] = [row[:2] + row[3:] for row in tables["positions"]]
    assert one_fault(as_csv(tables)) == (
        "positions",
        1,
        "tag",
        "The column tag is missing: the sheet cannot do without it.",
    )


def test_a_heading_that_stands_twice():
    tables = fleet()
    for row in tables["pumps"]:
        row.append("tag" if row[0] == "serial_number" else "")
    assert one_fault(as_csv(tables)) == (
        "pumps",
        1,
        "tag",
        "This heading stands over 2 columns: keep one.",
    )
