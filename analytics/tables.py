"""Sorting of lines that were computed, and addresses that keep the question."""

from collections.abc import Callable, Iterable, Mapping
from typing import Any, TypeVar

from django.http import QueryDict

Line = TypeVar("Line")
Cell = dict[str, Any]
SortKeys = Mapping[str, Callable[[Any], Any]]


def in_order(
    lines: Iterable[Line], keys: SortKeys, query: QueryDict, usual: str
) -> list[Line]:
    """Lines sorted as `?sort=key` or `?sort=-key` says, else as usual."""
    chosen = query.get("sort", usual)
    if chosen.removeprefix("-") not in keys:
        chosen = usual
    key = keys[chosen.removeprefix("-")]
    return sorted(lines, key=key, reverse=chosen.startswith("-"))


def with_usual_sort(query: QueryDict, usual: str) -> QueryDict:
    """The question with the order in which it is shown without being asked."""
    shown = query.copy()
    shown.setdefault("sort", usual)
    return shown


def address_with(path: str, query: QueryDict, **changes: str) -> str:
    """The same question at another address or with another setting."""
    changed = query.copy()
    changed.pop("page", None)
    changed.update(changes)
    return f"{path}?{changed.urlencode()}" if changed else path
