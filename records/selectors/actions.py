"""Actions: the list with its filters, what is overdue, what waits for a verdict."""

import calendar
from dataclasses import dataclass
from datetime import date

from django.db.models import Q, QuerySet

from plant.access import sites_visible
from plant.models import Position, Pump, Site, User
from records.action_choices import ActionState
from records.models.action import Action, ActionQuerySet

LOOKS = (3, 6, 12, 18, 24, 36)


@dataclass(frozen=True, slots=True)
class ActionFilter:
    """What the list shows; blank fields leave nothing out."""

    text: str = ""
    state: str = ""
    change_made: str = ""
    owner: User | None = None
    site: Site | None = None
    overdue_only: bool = False
    verdict_due: bool = False


def actions_visible(user: User) -> ActionQuerySet:
    """All actions of the sites that a person may see, with what a line shows."""
    return (
        Action.objects.visible_to(user)
        .select_related("site", "owner", "pump", "finding")
        .prefetch_related("positions")
    )


def actions_filtered(
    *, user: User, choice: ActionFilter, today: date
) -> ActionQuerySet:
    """Actions that fit, the soonest due first."""
    rows = actions_visible(user)
    exact = {
        "state": choice.state,
        "change_made": choice.change_made,
        "owner": choice.owner,
        "site": choice.site,
    }
    rows = rows.filter(**{name: value for name, value in exact.items() if value})
    if choice.overdue_only:
        rows = overdue(rows, today)
    if choice.verdict_due:
        rows = verdict_due(rows, today)
    if choice.text:
        about = Position.objects.filter(tag__icontains=choice.text)
        rows = rows.filter(
            Q(title__icontains=choice.text)
            | Q(population__icontains=choice.text)
            | Q(pump__serial_number__icontains=choice.text)
            | Q(pk__in=Action.objects.filter(positions__in=about).values("pk"))
        )
    return rows.order_by("due_on", "pk")


def overdue(rows: ActionQuerySet, today: date) -> ActionQuerySet:
    """Open actions whose due day is past."""
    return rows.open().filter(due_on__lt=today)


def is_overdue(action: Action, today: date) -> bool:
    return action.state == ActionState.OPEN and action.due_on < today


def verdict_due(rows: ActionQuerySet, today: date) -> ActionQuerySet:
    """Done, not judged, and the planned date has come."""
    come = Q(pk__in=[])
    for months in LOOKS:
        last = months_before(today, months)
        come |= Q(judge_after_months=months, done_on__lte=last)
    return rows.filter(come, state=ActionState.DONE)


def judge_on(action: Action) -> date | None:
    """The planned date of the one verdict; None until the action is done."""
    if action.done_on is None:
        return None
    return months_after(action.done_on, action.judge_after_months)


def months_after(day: date, months: int) -> date:
    """The same day of a later month, or the first of the next where it has none."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    if day.day <= calendar.monthrange(year, month + 1)[1]:
        return date(year, month + 1, day.day)
    return date(year + month // 11, (month + 1) % 12 + 1, 1)


def months_before(day: date, months: int) -> date:
    """The latest day that lies at least so many months back."""
    year, month = divmod(day.year * 12 + day.month - 1 - months, 12)
    last = calendar.monthrange(year, month + 1)[1]
    return date(year, month + 1, min(day.day, last))


def actions_about(
    *, user: User, position: Position | None = None, pump: Pump | None = None
) -> ActionQuerySet:
    """Actions of one position or of one pump, the newest decision first."""
    rows = actions_visible(user)
    if position is not None:
        rows = rows.filter(Q(positions=position) | Q(finding__position=position))
    if pump is not None:
        rows = rows.filter(Q(pump=pump) | Q(finding__pump=pump))
    return rows.distinct().order_by("-decided_at", "-pk")


def owners_at(site: Site) -> QuerySet[User]:
    """People of the site who can own an action."""
    return (
        User.objects.filter(Q(sites=site) | Q(sees_all_sites=True), is_active=True)
        .distinct()
        .order_by("username")
    )


def owners_visible(user: User) -> QuerySet[User]:
    """People of the sites that a person may see."""
    return (
        User.objects.filter(
            Q(sites__in=sites_visible(user)) | Q(sees_all_sites=True), is_active=True
        )
        .distinct()
        .order_by("username")
    )
