"""Reads the case files beside it; each case names its source."""

import json
from pathlib import Path

import pytest

DATA = Path(__file__).parent / "data"


def published_cases(topic):
    """Cases of one topic as parameters named by their identifier."""
    cases = json.loads((DATA / f"{topic}.json").read_text(encoding="utf-8"))
    return [pytest.param(case, id=case["id"]) for case in cases]


def case_data(topic, identifier):
    """One case of a topic."""
    cases = json.loads((DATA / f"{topic}.json").read_text(encoding="utf-8"))
    return next(case for case in cases if case["id"] == identifier)
