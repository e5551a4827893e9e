"""Conditions on a row, asked of a row that leads to it."""

from typing import Any

from django.db.models import Q


def under(prefix: str, condition: Q) -> Q:
    """The same condition where `prefix` leads to the row, as `repair__`."""
    if not prefix:
        return condition
    moved = Q(_connector=condition.connector, _negated=condition.negated)
    for child in condition.children:
        if isinstance(child, Q):
            moved.children.append(under(prefix, child))
            continue
        lookup: Any = child
        moved.children.append((f"{prefix}{lookup[0]}", lookup[1]))
    return moved
