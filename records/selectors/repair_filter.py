"""Which repairs the list shows, and which of their cost lines it adds up."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from django.db.models import BooleanField, Case, Exists, OuterRef, Q, Value, When
from django.utils import timezone

from plant.models import Area, Position, Pump, Site, User
from records.choices import REPAIR_COST_KINDS
from records.counting import Rule, counted_failures, counted_repairs
from records.models import CostLine, Repair
from records.models.repair import RepairQuerySet
from records.selectors.conditions import under
from records.selectors.findings import STILL_OPEN
from records.selectors.part_named import part_named
from records.selectors.repairs import rework_and_its_shop_work

# Asks for rows in which the field was left empty.
NOT_RECORDED = "none"
REPAIR_COST = "repair cost"


@dataclass(frozen=True, slots=True)
class RepairFilter:
    """What the list shows; blank fields leave nothing out but void repairs.

    `cost_kind`, `cost_status` and the booking days choose cost lines: repairs without
    such a line are left out, and of the others only these lines are added up.
    """

    text: str = ""
    site: Site | None = None
    area: Area | None = None
    position: Position | None = None
    pump: Pump | None = None
    no_pump: bool = False
    category: str = ""
    failure_mode: str = ""
    item: str = ""
    mechanism: str = ""
    cause: str = ""
    part: str = ""
    state: str = ""
    counted_as: str = ""
    reported_from: date | None = None
    reported_to: date | None = None
    open_only: bool = False
    findings_open: bool = False
    rework: bool = False
    cost_kind: str = ""
    cost_status: str = ""
    booked_from: date | None = None
    booked_to: date | None = None

    @property
    def chooses_lines(self) -> bool:
        """Whether only some cost lines of the repairs are asked for."""
        return any((self.cost_kind, self.cost_status, self.booked_from, self.booked_to))

    def of_lines(self) -> Q:
        """Condition for the cost lines that are added up."""
        chosen = Q()
        if self.cost_kind == REPAIR_COST:
            chosen &= Q(kind__in=REPAIR_COST_KINDS)
        elif self.cost_kind:
            chosen &= Q(kind=self.cost_kind)
        if self.cost_status:
            chosen &= Q(status=self.cost_status)
        if self.booked_from:
            chosen &= Q(booked_on__gte=self.booked_from)
        if self.booked_to:
            chosen &= Q(booked_on__lte=self.booked_to)
        return chosen

    def of_facts(self) -> Q:
        """Condition for the repairs by what was recorded of them."""
        exact = {
            "site": self.site,
            "position__area": self.area,
            "position": self.position,
            "pump": self.pump,
        }
        named = {
            "category": self.category,
            "failure_mode": self.failure_mode,
            "item": self.item,
            "mechanism": self.mechanism,
            "cause": self.cause,
        }
        asked = {name: value for name, value in exact.items() if value is not None}
        asked_words = {
            name: "" if value == NOT_RECORDED else value
            for name, value in named.items()
            if value
        }
        without_pump = Q(pump__isnull=True) if self.no_pump else Q()
        return Q(**asked, **asked_words) & without_pump

    def of_days(self) -> Q:
        """Condition for the repairs by the days on which they were reported."""
        days = Q()
        if self.reported_from:
            days &= Q(reported_at__gte=day_starts_at(self.reported_from))
        if self.reported_to:
            after = self.reported_to + timedelta(days=1)
            days &= Q(reported_at__lt=day_starts_at(after))
        return days


def repairs_filtered(
    *, user: User, choice: RepairFilter, rules: dict[int, Rule]
) -> RepairQuerySet:
    """Repairs of the user's sites, newest first; void ones only when asked for.

    `text` is looked for in number, tag, serial number of pump and components, and
    in the text of the repair.
    """
    rows = Repair.objects.visible_to(user)
    rows = rows.filter(state=choice.state) if choice.state else rows.not_void()
    rows = rows.filter(choice.of_facts(), choice.of_days())
    rows = rows.filter(counted_as(choice.counted_as, rules))
    if choice.part:
        rows = rows.alias(part=part_named()).filter(part=choice.part)
    if choice.rework:
        rows = rework_and_its_shop_work(rows)
    if choice.open_only:
        rows = rows.open()
    if choice.findings_open:
        rows = rows.filter(STILL_OPEN)
    if choice.chooses_lines:
        lines = CostLine.objects.standing().filter(choice.of_lines())
        rows = rows.filter(Exists(lines.filter(repair=OuterRef("pk"))))
    if choice.text:
        rows = rows.filter(_mentions(choice.text))
    return rows.order_by("-reported_at", "-pk")


def counted_as(wanted: str, rules: dict[int, Rule], prefix: str = "") -> Q:
    """Condition for "repair", "failure", "failure work" and "other work".

    Failure work is failures with their shop work; other work is all the rest, so that
    the two together are every repair. `prefix` leads to the repair, as `repair__`.
    """
    if wanted == "repair":
        return under(prefix, counted_repairs(rules))
    own = counted_failures(rules)
    if wanted == "failure":
        return under(prefix, own)
    if wanted not in ("failure work", "other work"):
        return Q()
    of_failures = under(prefix, own) | under(f"{prefix}shop_work_of__", own)
    if wanted == "failure work":
        return of_failures
    # A plain negation would lose rows that are shop work of nothing.
    return Q(
        Case(
            When(of_failures, then=Value(False)),
            default=Value(True),
            output_field=BooleanField(),
        )
    )


def day_starts_at(day: date) -> datetime:
    """The moment from which a repair counts as reported on a day."""
    return datetime.combine(day, time(), tzinfo=timezone.get_current_timezone())


def _mentions(text: str) -> Q:
    by_component = Repair.objects.filter(
        component_changes__life__serial__icontains=text
    ).values("pk")
    return (
        Q(number__icontains=text)
        | Q(position__tag__icontains=text)
        | Q(pump__serial_number__icontains=text)
        | Q(text__icontains=text)
        | Q(pk__in=by_component)
    )
