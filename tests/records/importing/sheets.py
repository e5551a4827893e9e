"""A small sound fleet as tables, and the ways a test breaks or sends it."""

import csv
import io
from copy import deepcopy
from pathlib import Path

import openpyxl

from records.importing.check import check_fleet
from records.importing.options import ReadOptions
from records.importing.reading import read_uploads
from records.importing.store import store_fleet

PUBLISHED = Path(__file__).resolve().parents[2] / "published/data/published_lives"
FLEET = {
    "positions": [
        ["site", "area", "tag", "service", "liquid", "running_share", "in_service_on"],
        ["North works", "Acids", "P-101A", "feed", "acid", "0.5", "2020-01-01"],
        ["North works", "Acids", "P-101B", "feed", "acid", "0.5", "2020-01-01"],
    ],
    "pumps": [
        ["serial_number", "design", "tag", "placed_on", "removed_on"],
        ["SN-1", "overhung end suction", "P-101A", "2020-01-01", ""],
        ["SN-2", "between bearings", "P-101B", "2020-01-01", ""],
    ],
    "components": [
        [
            "serial_number",
            "component",
            "location",
            "fitted_on",
            "beginning",
            "removed_on",
            "reason_out",
            "fitted_hours",
            "removed_hours",
            "piping_plan",
        ],
        *(
            ["SN-1", "seal", "single", *rest]
            for rest in (
                ["2020-01-01", "known", "2021-03-01", "failed", "0", "5000", "11"],
                ["2021-03-02", "known", "", "", "", "", "32"],
            )
        ),
    ],
    "repairs": [
        [
            "repair_number",
            "tag",
            "serial_number",
            "reported_at",
            "stopped_at",
            "returned_at",
            "work_class",
            "failure_mode",
            "item",
            "mechanism",
            "parts_cost",
            "currency",
        ],
        [
            "R-1",
            "P-101A",
            "SN-1",
            "2021-03-01 08:00",
            "2021-03-01 09:00",
            "2021-03-02 15:00",
            "corrective",
            "ELP",
            "mechanical seal",
            "2.4",
            "1234.50",
            "EUR",
        ],
    ],
}


def fleet(**changes):
    """The sound fleet with cells changed: `repairs__1__item="pump"`.

    Row 0 is the heading, so row 1 here is row 2 of the sheet; a column may be new.
    """
    tables = deepcopy(FLEET)
    for path, value in changes.items():
        sheet, row, column = path.split("__")
        heading = tables[sheet][0]
        if column not in heading:
            for number, cells in enumerate(tables[sheet]):
                cells.append(column if number == 0 else "")
        tables[sheet][int(row)][heading.index(column)] = value
    return tables


def published():
    """The published lives as tables."""
    return {
        path.stem: list(csv.reader(path.read_text(encoding="utf-8").splitlines()))
        for path in PUBLISHED.glob("*.csv")
    }


def as_csv(tables, separator=",", encoding="utf-8"):
    """Files to upload, one a table."""
    files = []
    for sheet, rows in tables.items():
        text = io.StringIO()
        csv.writer(text, delimiter=separator).writerows(rows)
        files.append((f"{sheet}.csv", io.BytesIO(text.getvalue().encode(encoding))))
    return files


def as_xlsx(tables):
    book = openpyxl.Workbook()
    book.remove(book.active)
    for sheet, rows in tables.items():
        page = book.create_sheet(sheet)
        for row in rows:
            page.append(row)
    packed = io.BytesIO()
    book.save(packed)
    packed.seek(0)
    return [("fleet.xlsx", packed)]


def checked(files, by, **options):
    read_options = ReadOptions(**options)
    return check_fleet(read_uploads(files, read_options), read_options, by=by)


def stored(files, by, **options):
    """Check and store, with the faults as the message when there are any."""
    found = checked(files, by, **options)
    assert found.faults == []
    store_fleet(found, by=by)
    return found


def faults(files, by, **options):
    """Each fault as sheet, row, column and what would be right."""
    found = checked(files, by, **options)
    assert found.fault_count == len(found.faults)
    return [(f.sheet, f.row, f.column, f.right) for f in found.faults]


def counts(found):
    """New, changed, unchanged by sheet."""
    return {
        sheet: (c["new"], c["changed"], c["unchanged"])
        for sheet, c in found.summary.items()
    }
