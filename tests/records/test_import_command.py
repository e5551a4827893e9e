"""manage.py import_fleet: the same engine, from the command line."""

import io
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from plant.models import SHELL_USERNAME, Position
from records.management.progress_bar import ProgressBar
from records.models import Repair
from tests.records.importing.sheets import PUBLISHED, as_csv, as_xlsx, fleet

pytestmark = pytest.mark.django_db


def run(path, *options):
    """Output, error output and the refusal, None when there was none."""
    out, err, refusal = io.StringIO(), io.StringIO(), None
    try:
        call_command("import_fleet", str(path), *options, stdout=out, stderr=err)
    except CommandError as error:
        refusal = str(error)
    return out.getvalue(), err.getvalue(), refusal


def folder(path: Path, tables, **how) -> Path:
    for name, content in as_csv(tables, **how):
        (path / name).write_bytes(content.getvalue())
    return path


def test_a_folder_is_stored_with_a_summary():
    out, err, refusal = run(PUBLISHED)
    assert out.splitlines() == [
        *(
            f"{sheet}: 43 rows, 43 new, 0 changed, 0 unchanged"
            for sheet in ("positions", "pumps", "components", "repairs")
        ),
        "Note. positions: site Published lives was not known before; its clock is UTC, "
        "its currency EUR.",
        "Stored.",
    ]
    assert (err, refusal) == ("", None)
    assert Repair.objects.get(number="PL-001").signed_by.username == SHELL_USERNAME


def test_a_dry_run_stores_nothing():
    out, _, refusal = run(PUBLISHED, "--dry-run")
    assert out.splitlines()[-1] == "Nothing was stored: dry run."
    assert refusal is None
    assert not Position.objects.exists()


def test_faults_are_printed_and_the_exit_code_says_so(tmp_path):
    folder(tmp_path, fleet(positions__1__head_m="high"))
    out, err, refusal = run(tmp_path)
    rows = "2 rows, not counted because of faults"
    assert f"positions: {rows}\n" in out
    assert "new" not in out
    assert err == "positions row 2 head_m: 'high' Not a number: write it as 12.5.\n"
    assert refusal == "Nothing was stored: mend the faults above."
    assert not Position.objects.exists()


def test_only_the_first_thousand_faults_are_printed(tmp_path):
    tables = fleet()
    line = tables["positions"][1]
    for number in range(1200):
        tables["positions"].append([*line[:2], f"P-{number}", *line[3:5], "2", ""])
    _, err, refusal = run(folder(tmp_path, tables))
    assert err.splitlines()[-1] == "and 200 more faults."
    assert len(err.splitlines()) == 1001
    assert refusal


def test_a_workbook_is_stored(tmp_path):
    (tmp_path / "fleet.xlsx").write_bytes(as_xlsx(fleet())[0][1].getvalue())
    out, _, refusal = run(tmp_path / "fleet.xlsx")
    assert (out.splitlines()[-1], refusal) == ("Stored.", None)


def test_separator_decimal_dates_and_encoding_are_chosen(tmp_path):
    tables = fleet(
        positions__1__area="Säuren",
        positions__1__head_m="1.234,5",
        positions__1__running_share="0,5",
        positions__2__running_share="0,5",
        positions__1__in_service_on="1.2.2019",
        repairs__1__parts_cost="1.234,50",
    )
    folder(tmp_path, tables, separator=";", encoding="cp1252")
    options = ["--separator", ";", "--decimal", ",", "--date-order", "dmy"]
    _, err, refusal = run(tmp_path, *options, "--encoding", "cp1252")
    assert (err, refusal) == ("", None)
    position = Position.objects.get(tag="P-101A")
    assert (position.area.name, position.head_m) == ("Säuren", 1234.5)
    assert position.in_service_on.isoformat() == "2019-02-01"


def test_work_is_done_in_the_name_of_a_user(administrator, planner):
    assert run(PUBLISHED, "--by", "planner")[2] == "Your role does not include this."
    assert run(PUBLISHED, "--by", "nobody")[2] == "There is no active user nobody."
    assert run(PUBLISHED, "--by", "administrator")[2] is None
    assert Repair.objects.first().signed_by == administrator


def test_paths_that_cannot_be_read_are_refused_in_words(tmp_path):
    nowhere = tmp_path / "nowhere"
    expected = f"{nowhere} is neither a folder nor an .xlsx workbook."
    assert run(nowhere)[2] == expected
    missing = tmp_path / "no.xlsx"
    assert run(missing)[2] == f"{missing} cannot be read: No such file or directory."
    _, err, refusal = run(tmp_path)
    assert err.endswith(
        "There is no CSV file in this folder: put positions.csv there.\n"
    )
    assert refusal == "Nothing was stored: mend the faults above."
    encoding = run(PUBLISHED, "--encoding", "klingon")[2]
    assert encoding == "No such encoding: 'klingon'. Try utf-8, cp1252 or utf-16."


class Terminal(io.StringIO):
    def isatty(self):
        return True


def test_the_bar_appears_on_a_terminal_after_a_moment():
    bar = ProgressBar(Terminal())
    bar.show(1, 10, "Checking repairs")
    assert bar.stream.getvalue() == ""
    bar.started -= 5
    bar.show(5_000, 10_000, "Checking repairs")
    assert "[###############...............] 5,000 of 10,000" in bar.stream.getvalue()
    bar.clear()
    assert bar.stream.getvalue().endswith("\r\033[K")


def test_the_bar_stays_away_from_a_file():
    bar = ProgressBar(io.StringIO())
    bar.started -= 5
    bar.show(5_000, 10_000, "Checking repairs")
    bar.clear()
    assert bar.stream.getvalue() == ""
