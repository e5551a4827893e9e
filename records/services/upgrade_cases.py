"""Upgrade cases stored, changed, withdrawn and bound to the action they became."""

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction

from plant.access import require
from plant.days import refuse_far_days
from plant.display import date_time
from plant.models import Position, Site, User
from records.models import Action, UpgradeCase
from records.selectors.upgrade_cases import LAST_FIGURES, upgrade_case_version
from records.services.life_changes import REASON_LENGTH

PLAN = "records.plan_upgrade"
MOST_POSITIONS = 60


@transaction.atomic
def upgrade_case_make(
    *,
    by: User,
    site: Site,
    title: str,
    change_made: str,
    positions: Iterable[Position],
    as_of: date,
    assumptions: Mapping[str, Any],
    currency: str = "",
) -> UpgradeCase:
    """Keep a case; without a currency it is reckoned in that of the site.

    Raises
    ------
    ValidationError
        With a sentence beside the field that cannot be.
    """
    require(by, PLAN, site=site)
    case = UpgradeCase(
        site=site,
        title=title.strip(),
        change_made=change_made,
        currency=(currency or site.currency).upper(),
        as_of=as_of,
        assumptions=dict(assumptions),
        stored_by=by,
    )
    chosen = _refuse_elsewhere(by, site, positions)
    _store(case, by, "Made", positions=chosen)
    return case


@transaction.atomic
def upgrade_case_change(
    *,
    by: User,
    case: UpgradeCase,
    title: str,
    change_made: str,
    positions: Iterable[Position],
    as_of: date,
    assumptions: Mapping[str, Any],
    currency: str = "",
    version: int | None = None,
) -> UpgradeCase:
    """Write a case anew; its history keeps what it said before.

    `version` is what `upgrade_case_version` said when the form was opened.

    Raises
    ------
    ValidationError
        When it became an action or was withdrawn, when somebody stored it after the
        form was opened (code `stale`), or beside the field that cannot be.
    """
    case = upgrade_case_lock(case)
    require(by, PLAN, site=case.site)
    refuse_fixed(case)
    refuse_stale(case, version)
    case.title, case.change_made = title.strip(), change_made
    case.currency = (currency or case.site.currency).upper()
    case.as_of, case.assumptions = as_of, dict(assumptions)
    chosen = _refuse_elsewhere(by, case.site, positions)
    _store(case, by, "Changed", positions=chosen)
    return case


@transaction.atomic
def upgrade_case_withdraw(*, by: User, case: UpgradeCase, reason: str) -> UpgradeCase:
    """Give a case up; it stays on record, with the reason in its history.

    Raises
    ------
    ValidationError
        When it became an action or is withdrawn already, or without a reason.
    """
    case = upgrade_case_lock(case)
    require(by, PLAN, site=case.site)
    refuse_fixed(case)
    if not reason.strip():
        raise ValidationError({"reason": "Say why it is withdrawn."})
    if len(reason.strip()) > REASON_LENGTH:
        words = f"Keep the reason within {REASON_LENGTH} characters."
        raise ValidationError({"reason": words})
    case.withdrawn = True
    _store(case, by, reason.strip())
    return case


@transaction.atomic
def upgrade_case_bring_back(*, by: User, case: UpgradeCase) -> UpgradeCase:
    """Take a withdrawn case up again.

    Raises
    ------
    ValidationError
        When it is not withdrawn.
    """
    case = upgrade_case_lock(case)
    require(by, PLAN, site=case.site)
    if not case.withdrawn:
        raise ValidationError("It is not withdrawn.")
    case.withdrawn = False
    _store(case, by, "Brought back")
    return case


@transaction.atomic
def upgrade_case_bind(
    *, by: User, case: UpgradeCase, action: Action, promise: Mapping[str, Any]
) -> UpgradeCase:
    """Tie a case to its action with what it promised; neither is written again.

    Raises
    ------
    ValidationError
        When it became an action already or is withdrawn.
    """
    case = upgrade_case_lock(case)
    require(by, PLAN, site=case.site)
    refuse_fixed(case)
    case.action, case.promise = action, dict(promise)
    _store(case, by, "Turned into an action")
    return case


def upgrade_case_figures_keep(
    *, by: User, case: UpgradeCase, figures: Mapping[str, Any]
) -> None:
    """Keep the figures that lists show beside the assumptions they follow from.

    They change nothing that somebody typed, so there is no entry in the history, and
    a case that was stored anew meanwhile keeps its own.
    """
    require(by, PLAN, site=case.site)
    rows = UpgradeCase.objects.filter(pk=case.pk, changed_at=case.changed_at)
    case.assumptions = {**case.assumptions, LAST_FIGURES: dict(figures)}
    rows.update(assumptions=case.assumptions)


def upgrade_case_lock(case: UpgradeCase) -> UpgradeCase:
    """The row as it is now, held until the transaction ends."""
    return (
        UpgradeCase.objects.select_for_update(of=("self",))
        .select_related("site", "action", "stored_by")
        .get(pk=case.pk)
    )


def refuse_fixed(case: UpgradeCase) -> None:
    """Refuse to touch a case that is bound to an action, or withdrawn."""
    if case.action_id is not None:
        raise ValidationError(
            f'It became the action "{case.action}": what it rests on stands with the '
            "promise. Copy the case to go on with other figures."
        )
    if case.withdrawn:
        raise ValidationError("It is withdrawn: bring it back first.")


AGAIN = "Compare with what is stored now; saving again stores what stands below."


def refuse_stale(case: UpgradeCase, version: int | None, again: str = AGAIN) -> None:
    """Refuse to overwrite what somebody stored after the form was opened."""
    if version is None or version == upgrade_case_version(case):
        return
    newest = case.history.select_related("history_user").order_by("-history_id").first()
    who = (newest.history_user if newest else None) or "Somebody"
    when = f" on {date_time(newest.history_date)}" if newest else ""
    raise ValidationError(
        f"{who} changed this case{when}, after you opened this form. Nothing was "
        f"overwritten. {again}",
        code="stale",
    )


def _refuse_elsewhere(
    by: User, site: Site, positions: Iterable[Position]
) -> list[Position]:
    """The positions, each of them at the site and in sight of who chose them."""
    chosen = list(dict.fromkeys(positions))
    keys = [position.pk for position in chosen]
    seen = set(Position.objects.visible_to(by).filter(pk__in=keys).values_list("pk"))
    refused = ""
    if not chosen:
        refused = "Choose at least one position."
    elif len(chosen) > MOST_POSITIONS:
        refused = f"Choose at most {MOST_POSITIONS} positions."
    elif len(seen) < len(keys) or any(one.site_id != site.pk for one in chosen):
        refused = f"Choose positions of {site} only: a case is of one site."
    if refused:
        raise ValidationError({"positions": refused})
    return chosen


def _store(
    case: UpgradeCase,
    by: User,
    what: str,
    *,
    positions: list[Position] | None = None,
) -> None:
    """Save with who and what in history."""
    row: Any = case
    row._history_user, row._change_reason = by, what
    refuse_far_days(case)
    case.full_clean(exclude=["stored_by", "action"])
    # Positions can be set only once the row is there, and are kept in history too.
    case.save()
    if positions is not None:
        case.positions.set(positions)
