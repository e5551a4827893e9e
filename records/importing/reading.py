"""The three ways files come in: a folder, a workbook, an upload."""

from collections.abc import Iterable
from pathlib import Path
from typing import IO

from django.conf import settings

from records.importing.csv_files import csv_table
from records.importing.options import ReadOptions
from records.importing.raw import RawFleet, Unreadable
from records.importing.workbooks import workbook_add

MEGABYTE = 1024 * 1024


def read_folder(path: str | Path, options: ReadOptions) -> RawFleet:
    """Every CSV file of a folder."""
    files = sorted(p for p in Path(path).iterdir() if p.suffix.lower() == ".csv")
    raw = RawFleet()
    if not files:
        raw.refuse(
            Path(path).name,
            Unreadable("There is no CSV file in this folder: put positions.csv there."),
        )
    for file in files:
        with file.open("rb") as opened:
            _add(raw, file.name, opened, options)
    return raw


def read_workbook(path_or_file: str | Path | IO[bytes], _: ReadOptions) -> RawFleet:
    """The sheets of one .xlsx workbook."""
    raw = RawFleet()
    if isinstance(path_or_file, str | Path):
        with Path(path_or_file).open("rb") as opened:
            _add_workbook(raw, Path(path_or_file).name, opened)
    else:
        _add_workbook(raw, Path(getattr(path_or_file, "name", "")).name, path_or_file)
    return raw


def read_uploads(
    files: Iterable[tuple[str, IO[bytes]]], options: ReadOptions
) -> RawFleet:
    """Files as a browser sent them, each with its name: CSVs, or a workbook."""
    raw = RawFleet()
    for name, opened in files:
        ending = Path(name).suffix.lower()
        if ending == ".xlsx":
            _add_workbook(raw, name, opened)
        elif ending == ".csv":
            _add(raw, name, opened, options)
        else:
            raw.refuse(
                name, Unreadable("Only files ending in .csv or .xlsx can be imported.")
            )
    return raw


def _add(raw: RawFleet, name: str, opened: IO[bytes], options: ReadOptions) -> None:
    try:
        raw.add(csv_table(name, _content(opened), options))
    except Unreadable as reason:
        raw.refuse(name, reason)


def _add_workbook(raw: RawFleet, name: str, opened: IO[bytes]) -> None:
    try:
        workbook_add(raw, name, _content(opened))
    except Unreadable as reason:
        raw.refuse(name, reason)


def _content(opened: IO[bytes]) -> bytes:
    """The bytes of a file, never more than the limit allows."""
    limit = settings.IMPORT_FILE_LIMIT_BYTES
    content = opened.read(limit + 1)
    if len(content) > limit:
        raise Unreadable(
            f"The file is larger than {limit // MEGABYTE} MB: split it by area or year."
        )
    return content
