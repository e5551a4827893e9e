"""Hazards of a liquid in words, for pages and exports."""

from collections.abc import Iterable

from plant.choices import Hazard

LABELS = {str(code): str(label).lower() for code, label in Hazard.choices}


def hazards_in_words(codes: Iterable[str]) -> str:
    """`toxic, hot` for the stored codes; empty without any."""
    return ", ".join(LABELS.get(code, code) for code in codes)
