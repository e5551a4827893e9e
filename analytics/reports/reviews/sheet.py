"""A review in words: one object for the page, the PDF and the mail."""

from dataclasses import dataclass

from analytics.models import Review, ReviewState
from analytics.reports.reviews.decided import decided_in_words, decisions_of
from analytics.reports.reviews.figures import Figures, must_be_decided
from plant import display

ROLLING_READING = (
    "Months between repairs, each point looking back over 12 months: compare points a "
    "year apart."
)
# Action, owner, due day, state; its number follows.
SHOWN_OF_ACTION = 4


@dataclass(frozen=True, slots=True)
class SheetPoint:
    """Mean time between repairs in months, over the year that ends on a day."""

    end: str
    value: float | None
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class SheetUnit:
    """One unit with its reason and what was decided."""

    key: str
    name: str
    place: str
    repairs: str
    rate: str
    interval: str
    why: str
    decided: str
    figures: Figures
    decision: Figures | None

    @property
    def waits(self) -> bool:
        """Whether the month cannot be closed before this unit is decided."""
        return must_be_decided(self.figures) and self.decision is None


@dataclass(frozen=True, slots=True)
class ReviewSheet:
    """Texts only; where they come from is told by `figures`."""

    title: str
    subtitle: str
    state: str
    note: str
    headline: list[str]
    rolling: list[SheetPoint]
    rolling_reading: str
    units: list[SheetUnit]
    actions: list[tuple[str, ...]]
    action_keys: list[str]
    costs: list[str]
    counting: list[str]
    footer: str


def review_sheet(
    review: Review, figures: Figures, rule: str, *, shows_costs: bool
) -> ReviewSheet:
    """Put the figures into words; costs only for people who may see them."""
    window = figures["window"]
    is_closed = review.state == ReviewState.CLOSED
    site = figures.get("site") or review.site
    title = f"Review of {review.month:%B %Y}, {site}"
    return ReviewSheet(
        title=title,
        subtitle=f"Window {window['start']} to {window['end']}; "
        f"{figures['judged']['position']} positions and "
        f"{figures['judged']['pump']} pumps judged.",
        state=_state(review, figures),
        note=review.note,
        headline=[*map(_headline, figures["headline"]), figures["verdict"]],
        rolling=[
            SheetPoint(row["end"], row["value"], row["low"], row["high"])
            for row in figures["rolling"]
        ],
        rolling_reading=ROLLING_READING,
        units=_units(review, figures, shows_costs),
        actions=[tuple(row[:SHOWN_OF_ACTION]) for row in figures["actions"]],
        action_keys=["".join(row[SHOWN_OF_ACTION:]) for row in figures["actions"]],
        costs=[_cost(row) for row in figures["costs"]] if shows_costs else [],
        counting=rule.splitlines(),
        footer=title if is_closed else f"{title} – open, not frozen",
    )


def _state(review: Review, figures: Figures) -> str:
    if review.state != ReviewState.CLOSED or review.closed_at is None:
        return "Open: the figures follow the records until it is closed."
    day = display.date_time(review.closed_at)
    by = figures.get("closed_by") or review.closed_by
    return (
        f"Closed by {by} on {day}. Figures, rule and window are frozen; program "
        f"{review.software_version}, data {review.data_sha256[:16]}."
    )


def _headline(row: Figures) -> str:
    limits = f" ({row['interval']}; {row['sample']})" if row["interval"] else ""
    return f"{row['label']}: {row['text']}{limits}."


def _cost(row: Figures) -> str:
    return (
        f"Repair cost {row['repair_cost']}; lost production {row['lost_production']}; "
        f"environment and safety {row['environment_safety']}; never added up."
    )


def _units(review: Review, figures: Figures, shows_costs: bool) -> list[SheetUnit]:
    decisions = decisions_of(review)
    listed = [
        _unit(unit, decisions.get(unit["id"]), shows_costs) for unit in figures["units"]
    ]
    # Decided while it was listed; the records have changed since.
    keys = {unit["id"] for unit in figures["units"]}
    rest = [
        _unit(decided["evidence"], decided, shows_costs)
        for key, decided in decisions.items()
        if key not in keys
    ]
    return listed + rest


def _status(unit: Figures) -> str:
    """Against the month before; in short where a review froze no words for it."""
    short = f"{unit['status'].capitalize()}." if unit["status"] else ""
    return str(unit.get("status_words", short))


def _unit(unit: Figures, decided: Figures | None, shows_costs: bool) -> SheetUnit:
    why = [_status(unit), unit["reason"]]
    if unit["carried"]:
        when = unit.get("carried_from")
        who = f"Decision of {when}" if when else "Last month's decision"
        why.append(f"{who}: {unit['carried']}.")
    why += unit.get("open_actions", [])
    if shows_costs and unit["cost"] and unit["is_costliest"]:
        why.append(f"Among the costliest: {unit['cost']}")
    shown = unit.get("shown", {})
    return SheetUnit(
        key=unit["id"],
        name=unit["label"],
        place=unit.get("place", ""),
        repairs=shown.get("repairs", display.NO_VALUE),
        rate=shown.get("rate", display.NO_VALUE),
        interval=shown.get("interval", ""),
        why=" ".join(word for word in why if word),
        decided=decided_in_words(decided),
        figures=unit,
        decision=decided,
    )
