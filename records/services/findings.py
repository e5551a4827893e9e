"""The findings of a repair: patterns, item, mechanism, cause; signed by themselves.

They may come days after the hand-back was signed, from the shop or the engineer.
"""

from collections.abc import Collection, Sequence

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from plant.access import require
from plant.display import date_time
from plant.models import User
from records.choices import RepairState
from records.models import Repair, TeardownFinding
from records.selectors.findings import findings_open
from records.services.component_rows import components_now
from records.services.correction_door import correction_door
from records.services.half_done import FAILURES, questions_of, refuse_half_done
from records.services.life_changes import REASON_LENGTH
from records.services.repair_checks import (
    refuse_no_reason,
    refuse_stale,
    refuse_unfinished,
    refuse_unless_signed,
)
from records.services.repairs import repair_lock, repair_store
from records.teardown_patterns import PATTERN_BY_CODE

__all__ = [
    "PatternRefused",
    "findings_correct",
    "findings_missing",
    "findings_open",
    "findings_set",
    "findings_sign",
]
Patterns = Sequence[tuple[str, str]]
NOTE_LENGTH = 300
ENTERED = "Findings entered"
NOT_KNOWN_IS_AN_ANSWER = "Choose one; “Not known” is an answer."


class PatternRefused(ValidationError):
    """Refusal of one pattern; `index` is its place in the list."""

    def __init__(self, message: str, index: int) -> None:
        super().__init__(message, code="pattern")
        self.index = index


@transaction.atomic
def findings_set(
    *,
    by: User,
    repair: Repair,
    patterns: Patterns,
    item: str | None = None,
    mechanism: str | None = None,
    cause: str | None = None,
    version: int | None = None,
    as_is: Collection[str] = (),
    sign: bool = False,
) -> Repair:
    """Store what was seen; None leaves a fact as it is, blank is not yet known.

    Works on drafts and after the hand-back was signed, until the findings are
    signed. `as_is` answers what an item that was not taken out asks back.

    Raises
    ------
    ValidationError
        When they are signed, the repair is void or imported, or a code is unknown;
        `PatternRefused` names the row, code `as_is` asks back.
    """
    repair = repair_lock(repair)
    require(by, "records.log_repair", site=repair.site)
    _refuse_closed(repair)
    refuse_stale(repair, version)
    facts = _given(item, mechanism, cause)
    if repair.is_signed:
        with correction_door():
            _store(by, repair, patterns, facts, ENTERED, as_is)
    else:
        _store(by, repair, patterns, facts, ENTERED, as_is)
    return findings_sign(by=by, repair=repair) if sign else repair


@transaction.atomic
def findings_sign(*, by: User, repair: Repair, version: int | None = None) -> Repair:
    """Freeze the findings under a name; the hand-back is signed before.

    Raises
    ------
    ValidationError
        When the repair is a draft, void or imported, when they were signed before,
        or by field what a failure still lacks.
    """
    repair = repair_lock(repair)
    require(by, "records.log_repair", site=repair.site)
    _refuse_closed(repair)
    refuse_stale(repair, version)
    if not repair.is_signed:
        raise ValidationError(
            f"{repair} is a draft: sign the hand-back first, then the findings."
        )
    missing = findings_missing(repair)
    if missing:
        raise ValidationError(dict(missing), code="unfinished")
    repair.findings_signed_by = by
    repair.findings_signed_at = timezone.now()
    with correction_door():
        repair_store(repair, by, "Findings signed")
    return repair


@transaction.atomic
def findings_correct(
    *,
    by: User,
    repair: Repair,
    reason: str,
    patterns: Patterns,
    item: str | None = None,
    mechanism: str | None = None,
    cause: str | None = None,
    version: int | None = None,
    as_is: Collection[str] = (),
) -> Repair:
    """Correct signed or imported findings; history keeps who, why and what."""
    repair = repair_lock(repair)
    require(by, "records.correct_repair", site=repair.site)
    refuse_unless_signed(repair)
    refuse_no_reason(reason)
    refuse_stale(repair, version)
    facts = _given(item, mechanism, cause)
    with correction_door():
        _store(by, repair, patterns, facts, reason, as_is)
    if repair.findings_signed_at and findings_missing(repair):
        raise ValidationError(dict(findings_missing(repair)), code="unfinished")
    return repair


def findings_missing(repair: Repair) -> dict[str, str]:
    """What the findings of a failure need and this one lacks, by field."""
    if repair.category not in FAILURES:
        return {}
    return {
        name: NOT_KNOWN_IS_AN_ANSWER
        for name in ("item", "mechanism", "cause")
        if not getattr(repair, name)
    }


def _refuse_closed(repair: Repair) -> None:
    if repair.state == RepairState.VOID:
        raise ValidationError(f"{repair} is void: {repair.void_reason}", code="void")
    if repair.is_imported:
        raise ValidationError(
            f"{repair} was imported: its findings are corrected, with a reason.",
            code="signed",
        )
    if repair.findings_signed_at is not None:
        raise ValidationError(
            f"The findings of {repair} were signed by {repair.findings_signed_by} on "
            f"{date_time(repair.findings_signed_at)}. They are corrected, with a "
            "reason.",
            code="signed",
        )


def _given(
    item: str | None, mechanism: str | None, cause: str | None
) -> dict[str, str]:
    facts = {"item": item, "mechanism": mechanism, "cause": cause}
    return {name: value for name, value in facts.items() if value is not None}


def _store(
    by: User,
    repair: Repair,
    patterns: Patterns,
    facts: dict[str, str],
    reason: str,
    as_is: Collection[str],
) -> None:
    answered = {*as_is, *questions_of(repair, *components_now(repair))}
    _refuse_impossible(patterns)
    are_changed = any(getattr(repair, name) != value for name, value in facts.items())
    # The rows first: once the findings are stored, the row of the repair says so.
    are_changed |= _patterns_set(by, repair, patterns, reason)
    for name, value in facts.items():
        setattr(repair, name, value)
    if are_changed:
        repair_store(repair, by, reason)
    if repair.is_signed:
        refuse_unfinished(repair)
        refuse_half_done(questions_of(repair, *components_now(repair)), answered)


def _refuse_impossible(patterns: Patterns) -> None:
    seen = set()
    for index, (code, note) in enumerate(patterns):
        if code not in PATTERN_BY_CODE:
            raise PatternRefused("This pattern is not in the catalogue.", index)
        if code in seen:
            raise PatternRefused("The same pattern stands above.", index)
        if len(note.strip()) > NOTE_LENGTH:
            raise PatternRefused(
                f"Keep the note within {NOTE_LENGTH} characters.", index
            )
        seen.add(code)


def _patterns_set(by: User, repair: Repair, patterns: Patterns, reason: str) -> bool:
    """Make the rows say what `patterns` says; whether anything changed."""
    stored = {row.pattern: row for row in repair.teardown_findings.all()}
    changed = []
    for code, note in patterns:
        row = stored.pop(code, None) or TeardownFinding(repair=repair, pattern=code)
        if row.pk is None or row.note != note.strip():
            row.note = note.strip()
            changed.append(row)
    for row in changed:
        _sign_history(row, by, reason)
        row.full_clean()
        row.save()
    for row in stored.values():
        _sign_history(row, by, reason)
        row.delete()
    return bool(changed or stored)


def _sign_history(row: TeardownFinding, by: User, reason: str) -> None:
    row._history_user = by  # type: ignore[attr-defined]
    row._change_reason = reason[:REASON_LENGTH]  # type: ignore[attr-defined]
