"""LibreOffice opens the workbook and comes to the values that are stored in it."""

import io
import subprocess
from datetime import UTC, datetime

import pytest
import xlsxwriter
from openpyxl import load_workbook

from analytics.exports.cost_workbook import write_cost_workbook
from analytics.forms.costs import CostForm
from tests.analytics.exports.nasty_ledger import (
    QUESTION,
    STARTS,
    money_tables,
    nasty_ledger,
)

pytestmark = [pytest.mark.django_db, pytest.mark.libreoffice]
# Without it LibreOffice shows stored values of a file that it did not write.
ALWAYS = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry"
 xmlns:xs="http://www.w3.org/2001/XMLSchema"
 xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load">
<prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>
"""
FORMULAS_AT_LEAST = 200


def recalculated(folder, names):
    """The workbooks as LibreOffice saves them; one start for all of them."""
    profile = folder / "profile" / "user"
    profile.mkdir(parents=True)
    (profile / "registrymodifications.xcu").write_text(ALWAYS)
    subprocess.run(
        [
            "soffice",
            f"-env:UserInstallation=file://{profile.parent}",
            *(
                "--headless",
                "--norestore",
                "--convert-to",
                "xlsx:Calc MS Excel 2007 XML",
            ),
            *("--outdir", str(folder / "out"), *(str(folder / name) for name in names)),
        ],
        check=True,
        capture_output=True,
        timeout=240,
    )
    return [load_workbook(folder / "out" / name, data_only=True) for name in names]


def control_write(path):
    """A formula whose stored value is wrong: it must come back right."""
    with xlsxwriter.Workbook(path) as book:
        book.add_worksheet("Control").write_formula(0, 0, "=1+1", None, 3)


def costs_written(user, **asked):
    form = CostForm(QUESTION | asked, user=user)
    assert form.is_answerable(), form.errors
    content = io.BytesIO()
    made_on = datetime(2024, 12, 31, 12, tzinfo=UTC)
    # Several sheets of lines, so that the longer formulas are opened too.
    write_cost_workbook(content, form.report(), made_on=made_on, most_rows=20)
    return content


def test_every_formula_recalculates_to_its_stored_value(manager, tmp_path):
    nasty_ledger()
    money_tables()
    questions = {"plain.xlsx": {}, "restated.xlsx": {"money": "EUR", "prices": "2024"}}
    control_write(tmp_path / "control.xlsx")
    for name, asked in questions.items():
        (tmp_path / name).write_bytes(costs_written(manager, **asked).getvalue())
    control, *opened = recalculated(tmp_path, ["control.xlsx", *questions])
    assert control["Control"]["A1"].value == 2
    for name, found in zip(questions, opened, strict=True):
        formulas = load_workbook(tmp_path / name)
        stored = load_workbook(tmp_path / name, data_only=True)
        assert compared(formulas, stored, found) > FORMULAS_AT_LEAST
        notes = {
            row[-1]
            for sheet in found
            if sheet.title.startswith("Cost lines")
            for row in sheet.iter_rows(values_only=True)
        }
        assert {text for text in STARTS if text.isprintable()} <= notes


def compared(formulas, stored, found):
    """How many formulas there were; each must come to what is stored, to the cent."""
    count = 0
    for sheet in formulas:
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type != "f":
                    continue
                place = (sheet.title, cell.coordinate)
                values = [
                    book[sheet.title][cell.coordinate].value or 0
                    for book in (stored, found)
                ]
                assert values[1] == pytest.approx(values[0], abs=0.004), place
                count += 1
    return count
