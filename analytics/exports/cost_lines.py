"""The flat list of cost lines behind a cost report: one row a line, one fact a cell."""

from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime, timedelta, tzinfo
from decimal import Decimal
from typing import Any, NamedTuple

from django.db.models import QuerySet
from django.utils import timezone

from analytics.money.treatment import MoneyTreatment
from analytics.reports.costs.groupings import CODED, NO_ITEM, NO_PUMP
from analytics.reports.costs.table import PARTS
from records.choices import REPAIR_COST_KINDS, Category, CostKind, CostStatus, Item
from records.models import CostLine, Repair
from records.selectors.moments import Microseconds
from records.selectors.part_named import NO_PART, parts_named

HEADER = [
    *("Reported on", "Booked on", "Repair", "Site", "Area", "Position", "Pump"),
    *("Category", "Failure mode", "Item", "Mechanism", "Cause", "Part"),
    *("Kind of cost", "Added up as", "Status", "Amount", "Currency"),
    *("Amount counted", "Counted in", "Note"),
]
REPORTED = Microseconds("repair__reported_at")
LINE_FIELDS = ("repair_id", "booked_on", "kind", "status", "amount", "currency", "note")
REPAIR_FIELDS = (
    *("number", "site__name", "position__area__name", "position__tag"),
    *("pump__serial_number", "category", "failure_mode", "item", "mechanism", "cause"),
)
ADDED_UP_AS = {
    **dict.fromkeys(REPAIR_COST_KINDS, PARTS["repair"]),
    CostKind.LOST_PRODUCTION: PARTS["production"],
    CostKind.ENVIRONMENT_SAFETY: PARTS["environment"],
}
CHUNK = 5_000
# A million lines rounded to this add up within half a cent of the total.
COUNTED = Decimal("1E-8")
DAY_ZERO = datetime(1970, 1, 1, tzinfo=UTC)


class LineTold(NamedTuple):
    """A cost line in the pieces of `HEADER`, of which only the last is its own."""

    days: tuple[date, date]
    """Of the report and of booking."""
    repair: tuple[str]
    """Its number."""
    facts: tuple[str, ...]
    """What else the repair says, from its site to its part."""
    kind: tuple[str, str, str]
    """What it is, what it is added up as, its status."""
    own: tuple[Decimal, str, Decimal, str, str]
    """Amount and currency; the amount counted, not rounded, and its unit; the note."""


def cost_line_rows(
    lines: QuerySet[CostLine], treatment: MoneyTreatment
) -> Iterator[list[Any]]:
    """Rows for `HEADER`, oldest event first; converted amounts to eight places."""
    for days, repair, facts, kind, own in cost_lines_told(lines, treatment):
        amount, currency, counted, unit, note = own
        told = counted if counted is amount else counted.quantize(COUNTED)
        yield [*days, *repair, *facts, *kind, amount, currency, told, unit, note]


def cost_lines_told(
    lines: QuerySet[CostLine], treatment: MoneyTreatment
) -> Iterator[LineTold]:
    """The same in pieces: those of one repair are told once.

    Read in stretches of the time of the report, so that the list fits the memory. Who
    needs all of one moment reads inside `one_state`.
    """
    words = _Words(treatment, timezone.get_current_timezone())
    for stretch in _stretches(lines):
        rows = _rows(stretch)
        parts = parts_named(Repair.objects.filter(pk__in={row[0] for row in rows}))
        repairs: dict[int, tuple[date, tuple[str], tuple[str, ...]]] = {}
        for key, booked_on, kind, status, amount, currency, note, of_repair in rows:
            if key not in repairs:
                repairs[key] = words.repair(*of_repair, parts.get(key, NO_PART))
            reported_on, repair, facts = repairs[key]
            counted, unit = words.counted(amount, currency, booked_on)
            yield LineTold(
                (reported_on, booked_on),
                repair,
                facts,
                words.kinds[kind, status],
                (amount, currency, counted, unit, note),
            )


def _rows(lines: QuerySet[CostLine]) -> list[list[Any]]:
    """`LINE_FIELDS` of each line, then the moment and facts of its repair together."""
    ordered = lines.order_by("repair__reported_at", "repair__number", "pk")
    of_repair = [f"repair__{name}" for name in REPAIR_FIELDS]
    rows: Any = ordered.values_list(*LINE_FIELDS, REPORTED, *of_repair)
    own = len(LINE_FIELDS)
    return [[*row[:own], row[own:]] for row in rows]


def _stretches(lines: QuerySet[CostLine]) -> Iterator[QuerySet[CostLine]]:
    """The same lines in portions that fit the memory, one after another in time."""
    moments: Sequence[int] = list(
        lines.order_by("repair__reported_at").values_list(REPORTED, flat=True)
    )
    cuts = sorted(set(moments[CHUNK::CHUNK]))
    for start, end in zip([None, *cuts], [*cuts, None], strict=True):
        stretch = lines
        if start is not None:
            stretch = stretch.filter(repair__reported_at__gte=_moment(start))
        if end is not None:
            stretch = stretch.filter(repair__reported_at__lt=_moment(end))
        yield stretch


def _moment(microseconds: int) -> datetime:
    return DAY_ZERO + timedelta(microseconds=microseconds)


class _Words:
    """Codes as the tables of the page name them; each is looked up once."""

    def __init__(self, treatment: MoneyTreatment, zone: tzinfo) -> None:
        self.zone = zone
        self.treatment = treatment
        self.factors: dict[tuple[str, int], tuple[str, Decimal]] = {}
        self.modes, self.mechanisms, self.causes = (
            {code: f"{code} {label.lower()}" for code, label in words.choices}
            | {"": blank}
            for words, blank in (
                CODED[name] for name in ("failure_mode", "mechanism", "cause")
            )
        )
        self.items = dict(Item.choices) | {"": NO_ITEM}
        self.categories = dict(Category.choices)
        self.kinds = {
            (str(kind), str(status)): (kind.label, ADDED_UP_AS[kind], status.label)
            for kind in CostKind
            for status in CostStatus
        }

    def repair(
        self, reported: int, number: str, *facts: Any
    ) -> tuple[date, tuple[str], tuple[str, ...]]:
        """The pieces of `LineTold` that are the same for all lines of a repair."""
        site, area, tag, pump, category, mode, item, mechanism, cause, part = facts
        return (
            _moment(reported).astimezone(self.zone).date(),
            (number,),
            (
                *(site, area, tag, NO_PUMP if pump is None else pump),
                self.categories.get(category, category),
                self.modes.get(mode, mode),
                self.items.get(item, item),
                self.mechanisms.get(mechanism, mechanism),
                self.causes.get(cause, cause),
                part,
            ),
        )

    def counted(
        self, amount: Decimal, currency: str, booked_on: date
    ) -> tuple[Decimal, str]:
        """The amount as it is added up, not rounded, and its unit."""
        unit, factor = self._factor(currency, booked_on.year)
        return amount if factor == 1 else amount * factor, unit

    def _factor(self, currency: str, year: int) -> tuple[str, Decimal]:
        key = (currency, year)
        if key not in self.factors:
            unit, factor = self.treatment.factor(currency, year)
            self.factors[key] = (str(unit), factor)
        return self.factors[key]
