"""A review in words: one object for the page, the PDF and the mail."""

from dataclasses import dataclass

from analytics.models import Review, ReviewDecision, ReviewState
from analytics.reports.bad_actors.report import UnitKind
from analytics.reports.reviews.figures import Figures
from analytics.reports.reviews.units import unit_key
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
    decision: ReviewDecision | None

    @property
    def waits(self) -> bool:
        """Whether the month cannot be closed before this unit is decided."""
        return bool(self.figures["is_flagged"]) and self.decision is None


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
    title = f"Review of {review.month:%B %Y}, {review.site}"
    return ReviewSheet(
        title=title,
        subtitle=f"Window {window['start']} to {window['end']}; "
        f"{figures['judged']['position']} positions and "
        f"{figures['judged']['pump']} pumps judged.",
        state=_state(review),
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


def _state(review: Review) -> str:
    if review.state != ReviewState.CLOSED or review.closed_at is None:
        return "Open: the figures follow the records until it is closed."
    day = display.date_time(review.closed_at)
    return (
        f"Closed on {day}. Figures, rule and window are frozen; program "
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
    decisions = {
        _key_of(row): row
        for row in review.decisions.select_related("action", "position", "pump")
    }
    listed = [
        _unit(unit, decisions.pop(unit["id"], None), shows_costs)
        for unit in figures["units"]
    ]
    # Decided while it was listed; the records have changed since.
    rest = [
        _unit(row.evidence or _bare(row), row, shows_costs)
        for row in decisions.values()
    ]
    return listed + rest


def _key_of(row: ReviewDecision) -> str:
    kind = UnitKind.MACHINE if row.position_id is None else UnitKind.POSITION
    return unit_key(kind, row.position_id or row.pump_id or 0)


def _bare(row: ReviewDecision) -> Figures:
    return {
        "id": _key_of(row),
        "label": str(row.position or row.pump),
        "status": "",
        "carried": "",
        "reason": "",
        "cost": "",
        "is_flagged": False,
        "is_costliest": False,
    }


def _unit(
    unit: Figures, decision: ReviewDecision | None, shows_costs: bool
) -> SheetUnit:
    why = [unit["reason"]]
    if unit["status"]:
        why.insert(0, f"{unit['status'].capitalize()}.")
    if unit["carried"]:
        why.append(f"Last month's decision: {unit['carried']}.")
    if shows_costs and unit["cost"] and unit["is_costliest"]:
        why.append(f"Among the costliest: {unit['cost']}")
    decided = "Not decided"
    if decision is not None:
        words = [str(decision.get_decision_display()), decision.note]
        if decision.action is not None:
            words.append(f"Action: {decision.action}")
        decided = ". ".join(word.rstrip(".") for word in words if word)
    shown = unit.get("shown", {})
    return SheetUnit(
        key=unit["id"],
        name=unit["label"],
        place=unit.get("place", ""),
        repairs=shown.get("repairs", display.NO_VALUE),
        rate=shown.get("rate", display.NO_VALUE),
        interval=shown.get("interval", ""),
        why=" ".join(word for word in why if word),
        decided=decided,
        figures=unit,
        decision=decision,
    )
