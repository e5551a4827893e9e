"""Compares the file's lives with the stored ones, and fills in what is copied."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from plant.choices import Component, Location
from plant.models import FittedLife
from records.importing.components import ComponentRows
from records.importing.known import Known, PositionKey, PumpKey
from records.importing.plan import LifePlan, Plan
from records.importing.positions import changed, shown
from records.importing.pumps import day_of
from records.importing.references import Findings
from records.importing.spans import Span, overlaps

COMPARED = (
    "beginning",
    "started_at",
    "ended_at",
    "removed_at",
    "age_at_entry_days",
    "age_at_entry_hours",
    "fitted_hours",
    "removed_hours",
    "fitted_starts",
    "removed_starts",
    "defect_detected",
    "condition_found",
    "why_removed",
    "condition_fitted",
    "serial",
    "part_number",
    "arrangement",
    "kind",
    "flexible_element",
    "faces",
    "secondary_seal",
    "piping_plan",
    "designation",
    "bearing_arrangement",
    "lubrication",
    "dynamic_rating_kn",
    "dynamic_rating_source",
    "load_kn",
)
COLUMN_OF = {
    "started_at": "started_on",
    "ended_at": "failed_on",
    "removed_at": "removed_on",
    "why_removed": "reason_out",
}
Place = tuple[PumpKey, str]


@dataclass(slots=True)
class LivesCompare:
    """One pass over the stored lives of the file's pumps."""

    rows: ComponentRows
    findings: Findings

    def run(self) -> None:
        spans: dict[Place, list[Span]] = {}
        for plan in self.rows.plans.values():
            span = Span(plan.fitted_at, plan.removed_at, plan.row, plan)
            spans.setdefault((plan.pump, plan.location), []).append(span)
        for stored in self._stored(spans.keys()):
            key: Place = (stored["key"], stored["location"])
            match = self.rows.plans.get((*key, stored["fitted_at"]))
            if match is None:
                span = Span(stored["fitted_at"], stored["removed_at"], 0)
                spans[key].append(span)
                continue
            self._compare(match, stored)
            for span in spans[key]:
                if span.of is match:
                    span.end = match.removed_at or stored["removed_at"]
        for plan in self.rows.plans.values():
            if plan.stored_pk is None:
                implied_set(plan, self.findings.known)
                self.findings.plan.lives.append(plan)
                what = f"fitted {day_of(plan.fitted_at)}"
                self.rows.summary.count("new", plan.row, _name(plan), what)
        for place in spans.values():
            for late, early in overlaps(place):
                self._overlap_fault(late, early)
        plans_set(self.findings.plan)

    def _stored(self, places: Any) -> Iterator[dict[str, Any]]:
        wanted = set(places)
        pumps = self.findings.known.pumps
        keys = {pumps[pump].pk: pump for pump, _ in wanted if pumps[pump].pk}
        sites = list(self.findings.plan.sites_concerned)
        if not keys:
            return
        lives = FittedLife.objects.filter(pump__site__name__in=sites).order_by("pk")
        for row in lives.values(
            "pk", "pump_id", "location", "fitted_at", *COMPARED
        ).iterator(chunk_size=2000):
            row["key"] = keys.get(row["pump_id"])
            if (row["key"], row["location"]) in wanted:
                yield row

    def _compare(self, plan: LifePlan, stored: dict[str, Any]) -> None:
        """Blanks are filled in; what is stored is never overwritten by an import."""
        plan.stored_pk = stored["pk"]
        changes: dict[str, Any] = {}
        words: list[str] = []
        given = dict(plan.given)
        if plan.removed_at is not None:
            given["removed_at"] = plan.removed_at
        for name, value in given.items():
            before = stored[name]
            column = COLUMN_OF.get(name, name)
            if before is None or before == "":
                changes[name] = value
                words.append(changed(column, before, _readable(value)))
            elif before != value:
                right = f"The log says {shown(_readable(before))}: correct it there."
                self.rows.fault(plan.row, column, shown(_readable(value)), right)
        if changes:
            self.findings.plan.lives_changed[stored["pk"]] = changes
        outcome = "changed" if changes else "unchanged"
        self.rows.summary.count(outcome, plan.row, _name(plan), "; ".join(words))

    def _overlap_fault(self, late: Span, early: Span) -> None:
        span, other = (late, early) if late.row else (early, late)
        where = f"row {other.row}" if other.row else "the log"
        until = "still in" if other.end is None else f"until {day_of(other.end)}"
        right = (
            f"By {where} one stands there from {day_of(other.begin)}, {until}: "
            "one component at a time."
        )
        self.rows.fault(span.row, "fitted_on", day_of(span.begin), right)


def _readable(value: Any) -> Any:
    if isinstance(value, datetime):
        return day_of(value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value


def _name(plan: LifePlan) -> str:
    return f"{plan.pump[1]}, {Location(plan.location).label.lower()}"


def implied_set(plan: LifePlan, known: Known) -> None:
    """Copy duty and plan of the position at fitting, as plant.services.lives does.

    A part fitted in the store is taken for the position that its pump went to next.
    """
    key: PositionKey | None = known.position_of(plan.pump, plan.fitted_at)
    at = plan.fitted_at
    if key is None:
        coming = known.next_placement_of(plan.pump, plan.fitted_at, plan.removed_at)
        if coming is None:
            return
        key, at = coming.position, coming.placed_at
    position = known.positions[key]
    plan.implied = {
        "position": position,
        "liquid": position.liquid,
        "service": position.service,
        "temperature_c": position.temperature_c,
    }
    duty = known.duty_of(key, at)
    if duty is None:
        return
    plan.implied["running_share"] = duty.running_share
    if plan.component == Component.SEAL and "piping_plan" not in plan.given:
        plan.implied["piping_plan"] = duty.piping_plan


def plans_set(plan: Plan) -> None:
    """Give new duty periods without a piping plan that of the newest seal there."""
    newest: dict[int, LifePlan] = {}
    for life in plan.lives:
        position = life.implied.get("position")
        if position is None or not life.given.get("piping_plan"):
            continue
        earlier = newest.get(id(position))
        if earlier is None or earlier.fitted_at < life.fitted_at:
            newest[id(position)] = life
    for duty in plan.duties:
        life_there = newest.get(id(duty.position))
        if life_there is not None and not duty.piping_plan:
            duty.piping_plan = life_there.given["piping_plan"]
