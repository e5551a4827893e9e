"""Upgrade cases: the list with its filters, and which state each is in."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.db.models import F, FloatField, Q, TextChoices, TextField
from django.db.models.fields.json import KeyTextTransform, KeyTransform
from django.db.models.functions import Cast

from plant.models import Position, Site, User
from records.choices import Category
from records.models.action import Action
from records.models.repair import Repair, RepairQuerySet
from records.models.upgrade_case import UpgradeCase, UpgradeCaseQuerySet

# What the case said when it was stored, beside the assumptions it rests on.
LAST_FIGURES = "last_figures"
SORTED_BY_FIGURE = ("net_present_value", "payback_chance", "investment")


class CaseState(TextChoices):
    OPEN = "open", "Open"
    ACTED = "action", "Turned into an action"
    WITHDRAWN = "withdrawn", "Withdrawn"


STATES = {
    CaseState.OPEN: Q(action__isnull=True, withdrawn=False),
    CaseState.ACTED: Q(action__isnull=False),
    CaseState.WITHDRAWN: Q(action__isnull=True, withdrawn=True),
}


@dataclass(frozen=True, slots=True)
class CaseFilter:
    """What the list shows; blank fields leave nothing out but the withdrawn."""

    text: str = ""
    state: str = ""
    change_made: str = ""
    site: Site | None = None


def upgrade_cases_visible(user: User) -> UpgradeCaseQuerySet:
    """All cases of the sites that a person may see, with what a line shows."""
    return (
        UpgradeCase.objects.visible_to(user)
        .select_related("site", "action", "stored_by")
        .prefetch_related("positions")
    )


def upgrade_cases_filtered(*, user: User, choice: CaseFilter) -> UpgradeCaseQuerySet:
    """Cases that fit with the figures they were stored with, newest change first."""
    rows = upgrade_cases_visible(user)
    exact = {"change_made": choice.change_made, "site": choice.site}
    rows = rows.filter(**{name: value for name, value in exact.items() if value})
    if choice.state:
        rows = rows.filter(STATES[CaseState(choice.state)])
    else:
        rows = rows.exclude(STATES[CaseState.WITHDRAWN])
    if choice.text:
        about = Position.objects.filter(tag__icontains=choice.text)
        rows = rows.filter(
            Q(title__icontains=choice.text)
            | Q(pk__in=UpgradeCase.objects.filter(positions__in=about).values("pk"))
        )
    return with_last_figures(rows).order_by("-changed_at", "-pk")


def with_last_figures(rows: UpgradeCaseQuerySet) -> UpgradeCaseQuerySet:
    """The same rows, the stored figures as columns that can be sorted."""
    last = KeyTransform(LAST_FIGURES, "assumptions")
    columns = {
        f"last_{name}": Cast(
            Cast(KeyTextTransform(name, last), TextField()), FloatField()
        )
        for name in SORTED_BY_FIGURE
    }
    return rows.annotate(**columns)


def state_of(case: UpgradeCase) -> CaseState:
    if case.action_id is not None:
        return CaseState.ACTED
    return CaseState.WITHDRAWN if case.withdrawn else CaseState.OPEN


def can_change(case: UpgradeCase) -> bool:
    """Whether its assumptions may still be written anew."""
    return state_of(case) is CaseState.OPEN


def case_of_action(action: Action) -> UpgradeCase | None:
    """The case that promised what an action is to bring."""
    return UpgradeCase.objects.filter(action=action).first()


def cases_about(*, user: User, position: Position) -> UpgradeCaseQuerySet:
    """Cases of one position that stand, the newest change first."""
    rows = upgrade_cases_visible(user).filter(positions=position)
    return rows.exclude(STATES[CaseState.WITHDRAWN]).order_by("-changed_at", "-pk")


def cases_chosen(*, user: User, keys: Iterable[int]) -> list[UpgradeCase]:
    """Cases that a person may see, in the order in which they are named."""
    wanted = list(dict.fromkeys(keys))
    found = upgrade_cases_visible(user).in_bulk(wanted)
    return [found[key] for key in wanted if key in found]


def upgrade_case_version(case: UpgradeCase) -> int:
    """A number that grows with every change of the case."""
    newest = (
        case.history.order_by("-history_id").values_list("history_id", flat=True)
    ).first()
    return int(newest or 0)


def modifications_of(case: UpgradeCase, *, since: date, until: date) -> RepairQuerySet:
    """Repairs that changed something at its positions, reported on these days."""
    zone = ZoneInfo(case.site.time_zone)
    first = datetime.combine(since, time(), tzinfo=zone)
    after = datetime.combine(until + timedelta(days=1), time(), tzinfo=zone)
    return Repair.objects.not_void().filter(
        category=Category.MODIFICATION,
        position__in=case.positions.order_by().values("pk"),
        reported_at__gte=first,
        reported_at__lt=after,
    )


def positions_of(case: UpgradeCase) -> list[Position]:
    """Its positions in the order of their tags."""
    return list(case.positions.select_related("area", "site").order_by(F("tag")))
