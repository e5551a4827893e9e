"""Which rows of a register get a tag, from what the page sent."""

from typing import TypeVar

from django.core.exceptions import ValidationError
from django.db import models
from django.http import QueryDict

from plant.display import count
from plant.tags.layout import SHEETS, Sheet

# About 21 pages of small tags; more would be held in memory for nothing.
MOST = 500
OWN_NAMES = ("page", "tick", "which", "sheet")

Row = TypeVar("Row", bound=models.Model)


def rows_chosen(rows: models.QuerySet[Row], query: QueryDict, noun: str) -> "list[Row]":
    """All rows that fit or, with `which=ticked`, those whose box was ticked.

    Raises
    ------
    ValidationError
        With a sentence for the page: none ticked, none there, or too many.
    """
    if query.get("which") == "ticked":
        rows = rows.filter(pk__in=_ticked(query))
        if not rows.exists():
            raise ValidationError(f"Tick at least one {noun}, or take all that fit.")
    chosen = list(rows[: MOST + 1])
    if not chosen:
        raise ValidationError(f"No {noun} fits. Clear the filters.")
    if len(chosen) > MOST:
        raise ValidationError(
            f"{count(rows.count(), noun)} fit; one PDF holds {MOST} tags at most. "
            "Narrow the filters, or tick what you need."
        )
    return chosen


def sheet_chosen(query: QueryDict) -> Sheet:
    """The label size asked for; the medium one when none or an unknown is named."""
    return SHEETS.get(query.get("sheet", ""), SHEETS["medium"])


def filters_of(query: QueryDict) -> QueryDict:
    """The register's own filters, without what this page adds to them."""
    kept = query.copy()
    for name in OWN_NAMES:
        kept.pop(name, None)
    return kept


def _ticked(query: QueryDict) -> list[int]:
    typed = [text for text in query.getlist("tick") if text.isascii()]
    return [int(text) for text in typed if text.isdigit() and len(text) < 19][:MOST]
