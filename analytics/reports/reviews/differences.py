"""What the records would say today, beside what a closed review froze."""

from dataclasses import dataclass
from datetime import date

from analytics.models import Review
from analytics.reports.reviews.figures import (
    Figures,
    review_figures,
    review_rule,
    review_window,
)
from analytics.reports.reviews.fingerprint import data_sha256
from plant.display import NO_VALUE, fixed
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


UNNAMED = (
    "Records behind this review changed in ways its figures do not show: the hash of "
    "the data is another one, every figure is the same."
)


@dataclass(frozen=True, slots=True)
class Difference:
    """One figure, as it was frozen and as it would be now."""

    about: str
    frozen: str
    now: str


@dataclass(frozen=True, slots=True)
class Differences:
    """Figures that would be others now; `unnamed` where only the rows tell of it."""

    rows: list[Difference]
    unnamed: str = ""


def review_differences(review: Review, user: User) -> Differences:
    """Empty while the rows, the rule and the program are those of the day."""
    program = []
    if review.software_version != VERSION:
        program.append(Difference("Program", review.software_version, VERSION))
    rule = review_rule(review, user)
    if rule != review.rule:
        program.append(Difference("Counting rule", review.rule, rule))
    since = review.figures.get("hash_since")
    sha256 = data_sha256(
        review.site,
        review_window(review),
        date.fromisoformat(since) if since else None,
    )
    same_rows = sha256 == review.data_sha256
    if same_rows and not program:
        return Differences([])
    found = _of_figures(review.figures, review_figures(review, user))
    unnamed = "" if same_rows or found else UNNAMED
    return Differences(program + found, unnamed)


def _of_figures(frozen: Figures, now: Figures) -> list[Difference]:
    knows_costs = frozen.get("shows_costs", True) and now["shows_costs"]
    return [
        *_headline(frozen, now),
        *_rolling(frozen, now),
        *(_costs(frozen, now) if knows_costs else []),
        *_units(frozen, now, knows_costs=knows_costs),
    ]


def _headline(frozen: Figures, now: Figures) -> list[Difference]:
    after = {row["label"]: row for row in now["headline"]}
    pairs = [(row, after.get(row["label"])) for row in frozen["headline"]]
    return [
        Difference(before["label"], _rate(before), _rate(row))
        for before, row in pairs
        if row is not None and _rate(before) != _rate(row)
    ]


def _rate(row: Figures) -> str:
    return f"{row['text']} ({row['sample']})"


def _rolling(frozen: Figures, now: Figures) -> list[Difference]:
    """The first point of the line that differs, and how many more do."""
    after = {row["end"]: _point(row) for row in now["rolling"]}
    moved = [
        (row["end"], _point(row), after.get(row["end"], NO_VALUE))
        for row in frozen["rolling"]
        if _point(row) != after.get(row["end"], NO_VALUE)
    ]
    if not moved:
        return []
    end, before, is_now = moved[0]
    more = f" and {len(moved) - 1} more of its points" if moved[1:] else ""
    about = f"Rolling MTBR in months, the year to {end}{more}"
    return [Difference(about, before, is_now)]


def _point(row: Figures) -> str:
    value: float | None = row["value"]
    return NO_VALUE if value is None else fixed(value)


COST_WORDS = {
    "repair_cost": "repair cost",
    "lost_production": "lost production",
    "environment_safety": "environment and safety",
}


def _costs(frozen: Figures, now: Figures) -> list[Difference]:
    """Totals of the window, each currency and kind of cost by itself."""
    before = {row["currency"]: row for row in frozen["costs"]}
    after = {row["currency"]: row for row in now["costs"]}
    return [
        Difference(f"{currency}, {words} of the window", was, is_now)
        for currency in {**before, **after}
        for name, words in COST_WORDS.items()
        for was in [before.get(currency, {}).get(name, NO_VALUE)]
        for is_now in [after.get(currency, {}).get(name, NO_VALUE)]
        if was != is_now
    ]


def _units(frozen: Figures, now: Figures, *, knows_costs: bool) -> list[Difference]:
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
        found += _cost_of_unit(was, is_now) if knows_costs else []
    return found


def _of_unit(was: Figures, is_now: Figures) -> list[Difference]:
    found = [
        Difference(f"{was['label']}: {WORDS[name]}", *_shown(name, was, is_now))
        for name in COMPARED
        if len(set(_shown(name, was, is_now))) == 2
    ]
    if was["is_flagged"] != is_now["is_flagged"]:
        pair = YES_NO[was["is_flagged"]], YES_NO[is_now["is_flagged"]]
        found.append(Difference(f"{was['label']}: flagged", *pair))
    return found


def _cost_of_unit(was: Figures, is_now: Figures) -> list[Difference]:
    """Reviews closed before amounts were frozen have none to compare."""
    if "amounts" not in was or "amounts" not in is_now:
        return []
    before, after = was["amounts"], is_now["amounts"]
    return [
        Difference(
            f"{was['label']}: cost in {currency}",
            before.get(currency, NO_VALUE),
            after.get(currency, NO_VALUE),
        )
        for currency in {**before, **after}
        if before.get(currency) != after.get(currency)
    ]


def _shown(name: str, was: Figures, is_now: Figures) -> tuple[str, str]:
    """Both values as the pages write them, so that noise far behind shows nothing."""
    return _text(was, name), _text(is_now, name)


def _text(unit: Figures, name: str) -> str:
    return str(unit.get("shown", {}).get(name, unit.get(name, NO_VALUE)))
