"""The finest sums of cost lines over several windows at once: one query, not three."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from django.db.models import BooleanField, Case, Q, QuerySet, Value, When

from analytics.exposure import Window
from analytics.reports.costs.amounts import NOTHING, Amounts, Booked
from analytics.reports.costs.basis import Basis
from analytics.reports.costs.question import CostQuestion
from records.choices import CostKind
from records.models import CostLine
from records.selectors.costs import booked_year, cost_facts
from records.selectors.repair_filter import counted_as, day_starts_at
from records.selectors.stretches import stretch_of

A_DAY = timedelta(days=1)
# Every other kind is repair cost.
PART_OF: dict[str, str] = {
    CostKind.LOST_PRODUCTION: "production",
    CostKind.ENVIRONMENT_SAFETY: "environment",
}


@dataclass(frozen=True, slots=True)
class Fact:
    """A sum in its unit of money, and the windows that it lies in."""

    unit: str
    kind: str
    status: str
    category: str
    of_failure: bool
    amount: Decimal
    windows: tuple[int, ...]
    booked: Booked | None


@dataclass(frozen=True, slots=True)
class Stretches:
    """Days cut where a window begins or ends: no stretch lies half in a window."""

    cuts: tuple[date, ...]
    windows: tuple[tuple[int, ...], ...]
    """Of each stretch, the first before the first cut: the windows it lies in."""


def stretches_of(windows: Sequence[Window]) -> Stretches:
    cuts = sorted({day for w in windows for day in (w.start, w.end + A_DAY)})
    inside = [
        tuple(place for place, w in enumerate(windows) if w.start <= cut <= w.end)
        for cut in cuts
    ]
    return Stretches(tuple(cuts), ((), *inside))


def facts_of(
    question: CostQuestion, lines: QuerySet[CostLine], windows: Sequence[Window]
) -> list[Fact]:
    """Sums of lines by the windows that the basis puts them into."""
    stretches = stretches_of(windows)
    day = _stretch(question.basis, stretches.cuts)
    rows = _rows(question, lines.annotate(stretch=day), "stretch")
    return list(_told(question, rows, lambda row: stretches.windows[row["stretch"]]))


def late_facts_of(question: CostQuestion, windows: Sequence[Window]) -> list[Fact]:
    """Sums of lines booked in a window whose repair was reported before it began."""
    stretches = stretches_of(windows)
    starts = tuple(sorted({window.start for window in windows}))
    is_late = Q()
    for window in windows:
        is_late |= Q(
            booked_on__range=(window.start, window.end),
            repair__reported_at__lt=day_starts_at(window.start),
        )
    booked = question.lines_booked(*days_of(windows))
    lines = booked.filter(is_late).annotate(
        stretch=_stretch(Basis.BOOKING, stretches.cuts),
        begun=_stretch(Basis.EVENT, starts),
    )

    def late_in(row: dict[str, Any]) -> tuple[int, ...]:
        reported_before = starts[row["begun"] :]
        booked_in = stretches.windows[row["stretch"]]
        return tuple(n for n in booked_in if windows[n].start in reported_before)

    return list(_told(question, _rows(question, lines, "stretch", "begun"), late_in))


def _stretch(basis: Basis, cuts: Sequence[date]) -> Any:
    if basis is Basis.BOOKING:
        return stretch_of("booked_on", cuts)
    return stretch_of("repair__reported_at", [day_starts_at(day) for day in cuts])


def days_of(windows: Sequence[Window]) -> tuple[date, date]:
    """The first and the last day that any of the windows holds."""
    return min(w.start for w in windows), max(w.end for w in windows)


def _rows(
    question: CostQuestion, lines: QuerySet[CostLine], *by: str
) -> Iterator[dict[str, Any]]:
    failed = counted_as("failure work", question.scope.rules, "repair__")
    lines = lines.annotate(
        of_failure=Case(
            When(failed, then=Value(True)),
            default=Value(False),
            output_field=BooleanField(),
        )
    )
    if question.treatment.is_plain:
        return cost_facts(lines, *by, "of_failure")
    return cost_facts(lines.annotate(year=booked_year()), *by, "of_failure", "year")


def _told(
    question: CostQuestion,
    rows: Iterable[dict[str, Any]],
    windows_of: Callable[[dict[str, Any]], tuple[int, ...]],
) -> Iterator[Fact]:
    treatment = question.treatment
    for row in rows:
        places = windows_of(row)
        if not places:
            continue
        unit, amount, booked = row["currency"], row["amount"], None
        if not treatment.is_plain:
            booked = (unit, row["year"])
            told, factor = treatment.factor(*booked)
            unit = str(told)
            amount = amount if factor == 1 else amount * factor
        yield Fact(
            unit,
            row["kind"],
            row["status"],
            row["repair__category"],
            bool(row["of_failure"]),
            amount,
            places,
            booked,
        )


def amounts_of_facts(facts: Iterable[Fact]) -> dict[str, Amounts]:
    """The same sums as one row of a table has them, by unit of money."""
    sums: dict[str, dict[str, Decimal]] = {}
    for fact in facts:
        part = PART_OF.get(fact.kind, "repair")
        name = f"{part}_{fact.status}"
        own = sums.setdefault(fact.unit, {})
        own[name] = own.get(name, NOTHING) + fact.amount
    return {unit: Amounts(**own) for unit, own in sums.items()}
