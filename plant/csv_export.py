"""Rows as a CSV file for a spreadsheet."""

import csv
import re
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from django.http import StreamingHttpResponse

# A spreadsheet would run a cell that begins so as a formula.
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


class _Echo:
    """A file that hands back each line instead of keeping it."""

    def write(self, line: str) -> str:
        return line


def csv_response(
    name: str, header: Sequence[str], rows: Iterable[Sequence[Any]]
) -> StreamingHttpResponse:
    """Download called `name`, written row by row, UTF-8 with byte-order mark."""
    response = StreamingHttpResponse(
        csv_lines(header, rows), content_type="text/csv; charset=utf-8"
    )
    # A tag may hold signs that no header takes.
    plain = re.sub(r"[^A-Za-z0-9._-]+", "-", name)
    response["Content-Disposition"] = f'attachment; filename="{plain}"'
    return response


def csv_lines(header: Sequence[str], rows: Iterable[Sequence[Any]]) -> Iterator[str]:
    """Lines of the file as text, the first with the byte-order mark."""
    writer = csv.writer(_Echo())
    yield "\ufeff" + writer.writerow(header)
    for row in rows:
        yield writer.writerow([_safe(cell) for cell in row])


def _safe(cell: Any) -> Any:
    if isinstance(cell, str) and cell.startswith(FORMULA_STARTS):
        return f"'{cell}"
    return cell
