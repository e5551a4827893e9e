"""What the records would say today, beside what a closed review froze."""

from dataclasses import dataclass

from analytics.models import Review
from analytics.reports.reviews.figures import (
    Figures,
    review_figures,
    review_rule,
    review_window,
)
from analytics.reports.reviews.fingerprint import data_sha256
from plant.models import User
from plant.version import VERSION

COMPARED = ("repairs", "failures", "events", "rate", "expected", "worse")
WORDS = {
    "repairs": "repairs",
    "failures": "failures",
    "events": "separate events",
    "rate": "events a year",
    "expected": "expected of its peers",
    "worse": "sure to be worse than twice its peers",
    "is_flagged": "flagged",
}
YES_NO = {True: "yes", False: "no"}


@dataclass(frozen=True, slots=True)
class Difference:
    """One figure, as it was frozen and as it would be now."""

    about: str
    frozen: str
    now: str


def review_differences(review: Review, user: User) -> list[Difference]:
    """Empty while the rows, the rule and the program are those of the day."""
    found = []
    if review.software_version != VERSION:
        found.append(Difference("Program", review.software_version, VERSION))
    rule = review_rule(review, user)
    if rule != review.rule:
        found.append(Difference("Counting rule", review.rule, rule))
    same_rows = data_sha256(review.site, review_window(review)) == review.data_sha256
    if same_rows and not found:
        return []
    now = review_figures(review, user)
    return found + _headline(review.figures, now) + _units(review.figures, now)


def _headline(frozen: Figures, now: Figures) -> list[Difference]:
    return [
        Difference(before["label"], _rate(before), _rate(after))
        for before, after in zip(frozen["headline"], now["headline"], strict=True)
        if _rate(before) != _rate(after)
    ]


def _rate(row: Figures) -> str:
    return f"{row['text']} ({row['sample']})"


def _units(frozen: Figures, now: Figures) -> list[Difference]:
    before = {unit["id"]: unit for unit in frozen["units"]}
    after = {unit["id"]: unit for unit in now["units"]}
    found = []
    for key in {**before, **after}:
        was, is_now = before.get(key), after.get(key)
        if was is None or is_now is None:
            label = (was or is_now or {})["label"]
            words = (
                ("not listed", "listed") if was is None else ("listed", "not listed")
            )
            found.append(Difference(label, *words))
            continue
        found += _of_unit(was, is_now)
    return found


def _of_unit(was: Figures, is_now: Figures) -> list[Difference]:
    found = [
        Difference(f"{was['label']}: {WORDS[name]}", *_shown(name, was, is_now))
        for name in COMPARED
        if was[name] != is_now[name] and len(set(_shown(name, was, is_now))) == 2
    ]
    if was["is_flagged"] != is_now["is_flagged"]:
        pair = YES_NO[was["is_flagged"]], YES_NO[is_now["is_flagged"]]
        found.append(Difference(f"{was['label']}: flagged", *pair))
    return found


def _shown(name: str, was: Figures, is_now: Figures) -> tuple[str, str]:
    """Both values as the pages write them, so that noise far behind shows nothing."""
    return _text(was, name), _text(is_now, name)


def _text(unit: Figures, name: str) -> str:
    return str(unit["shown"].get(name, unit[name]))
