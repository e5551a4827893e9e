"""Compares the file's repairs with the stored ones; an import corrects nothing."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any

from records.importing.layout import COST_COLUMNS
from records.importing.plan import RepairPlan
from records.importing.positions import shown
from records.importing.pumps import day_of
from records.importing.references import Findings
from records.importing.repairs import FIELDS, LEDGER_FIELDS, SHEET, RepairRows
from records.models import CostLine, Repair

TIMES = ("reported_at", "stopped_at", "returned_at")
COLUMN_OF_FIELD = {field: column for column, field in FIELDS.items()}
COLUMN_OF_KIND: dict[str, str] = {kind: column for column, kind in COST_COLUMNS.items()}
COLUMN_OF_LEDGER = {field: column for column, field in LEDGER_FIELDS.items()}
CHUNK = 2000


@dataclass(slots=True)
class RepairsCompare:
    """One pass over the stored repairs and cost lines of the file's sites."""

    rows: RepairRows
    findings: Findings

    def run(self) -> None:
        stored: dict[int, RepairPlan] = {}
        for row in self._repairs():
            plan = self.rows.plans.get((row["site__name"], row["number"]))
            if plan is not None:
                plan.is_stored = True
                stored[row["pk"]] = plan
                self._compare(plan, row)
        if stored:
            self._ledger_compare(stored)
        for plan in self.rows.plans.values():
            if plan.is_stored:
                self.rows.summary.count("unchanged", plan.row, plan.number)
            else:
                self.findings.plan.repairs.append(plan)
                name = f"{plan.number}, {plan.position[1]}"
                self.rows.summary.count(
                    "new", plan.row, name, plan.given.get("text", "")[:80]
                )

    def _repairs(self) -> Iterator[dict[str, Any]]:
        names = {site for site, _ in self.rows.plans}
        rows = Repair.objects.filter(site__name__in=names).order_by("pk")
        yield from rows.values(
            "pk",
            "number",
            "site__name",
            "position__tag",
            "pump__maker",
            "pump__serial_number",
            *TIMES,
            *FIELDS.values(),
        ).iterator(chunk_size=CHUNK)

    def _compare(self, plan: RepairPlan, stored: dict[str, Any]) -> None:
        for name, value in plan.given.items():
            if stored[name] != value:
                self._differs(plan, COLUMN_OF_FIELD[name], value, stored[name])
        for name in TIMES:
            value = getattr(plan, name)
            if value is not None and stored[name] != value:
                self._differs(plan, name, value, stored[name])
        if stored["position__tag"] != plan.position[1]:
            self._differs(plan, "tag", plan.position[1], stored["position__tag"])
        if plan.pump is not None and plan.pump_is_given:
            pump = self.findings.known.pumps[plan.pump]
            if stored["pump__serial_number"] != pump.serial_number:
                before = stored["pump__serial_number"]
                self._differs(plan, "serial_number", pump.serial_number, before)

    def _ledger_compare(self, stored: dict[int, RepairPlan]) -> None:
        """What the standing lines add up to must be what the file says."""
        sums: dict[tuple[int, str], Decimal] = {}
        lines = CostLine.objects.standing().filter(
            repair__site__name__in={site for site, _ in self.rows.plans}
        )
        names = ("repair_id", "kind", "amount", *COLUMN_OF_LEDGER)
        for line in lines.order_by("pk").values(*names).iterator(chunk_size=CHUNK):
            plan = stored.get(line["repair_id"])
            if plan is None:
                continue
            key = (line["repair_id"], line["kind"])
            sums[key] = sums.get(key, Decimal(0)) + line["amount"]
            if any(kind == line["kind"] for kind, _ in plan.costs):
                for name, value in plan.ledger.items():
                    if line[name] != value:
                        column = COLUMN_OF_LEDGER[name]
                        self._differs(plan, column, value, line[name])
        for pk, plan in stored.items():
            for kind, amount in plan.costs:
                before = sums.get((pk, kind))
                if before != amount:
                    self._differs(plan, COLUMN_OF_KIND[kind], amount, before)

    def _differs(self, plan: RepairPlan, column: str, value: Any, before: Any) -> None:
        right = (
            f"Repair {plan.number} is in the log with {_readable(before)} here: an "
            "import corrects nothing, correct it there."
        )
        self.findings.report.fault(SHEET, plan.row, column, _readable(value), right)


def _readable(value: Any) -> str:
    return day_of(value) if isinstance(value, datetime) else shown(value)
