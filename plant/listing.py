"""Sorting and paging of list pages: one way for every table with many rows."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

from django.core.paginator import Page, Paginator
from django.db import models
from django.db.models import F
from django.http import QueryDict

PAGE_SIZE = 50

Row = TypeVar("Row", bound=models.Model)


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its label and, where it sorts, its key and the fields behind."""

    label: str
    key: str = ""
    order_by: tuple[str, ...] = ()
    numeric: bool = False


def rows_sorted(
    rows: models.QuerySet[Row], columns: Sequence[Column], query: QueryDict
) -> models.QuerySet[Row]:
    """Order by the column that `?sort=key` or `?sort=-key` names; blanks come last.

    An unknown key leaves the order as it is.
    """
    wanted = query.get("sort", "")
    column = _column_of(wanted, columns)
    if column is None:
        return rows
    fields = [F(name) for name in column.order_by]
    if wanted.startswith("-"):
        return rows.order_by(*[f.desc(nulls_last=True) for f in fields], "pk")
    return rows.order_by(*[f.asc(nulls_last=True) for f in fields], "pk")


def header_cells(columns: Sequence[Column], query: QueryDict) -> list[dict[str, Any]]:
    """Column heads for components/data_table.html; a second click turns the order."""
    wanted = query.get("sort", "")
    return [_header_cell(column, wanted, query) for column in columns]


def page_of(
    rows: models.QuerySet[Row], query: QueryDict, size: int = PAGE_SIZE
) -> Page[Row]:
    return Paginator(rows, size).get_page(query.get("page"))


def _column_of(wanted: str, columns: Sequence[Column]) -> Column | None:
    key = wanted.removeprefix("-")
    return next((c for c in columns if c.key and c.key == key), None)


def _header_cell(column: Column, wanted: str, query: QueryDict) -> dict[str, Any]:
    cell: dict[str, Any] = {"label": column.label, "numeric": column.numeric}
    if not column.key:
        return cell
    changed = query.copy()
    changed.pop("page", None)
    changed["sort"] = f"-{column.key}" if wanted == column.key else column.key
    cell["sort_url"] = f"?{changed.urlencode()}"
    if wanted.removeprefix("-") == column.key:
        cell["sorted"] = "descending" if wanted.startswith("-") else "ascending"
    return cell
