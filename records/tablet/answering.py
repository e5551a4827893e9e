"""Answers to what an entry asked: they store it, merge it or withdraw it."""

from typing import Any

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction
from django.db.models import TextChoices
from django.utils import timezone

from plant.access import may, require
from plant.display import date_time
from plant.models import FittedLife, Position, Pump, Site, User
from records.models import Repair, TabletEntry
from records.models.tablet_entry import EntryState
from records.selectors.repairs import pump_at
from records.tablet.faults import Refused
from records.tablet.merging import entry_merge, may_merge
from records.tablet.questions import Asked, QuestionKind
from records.tablet.reading import shaped
from records.tablet.settling import Settled
from records.tablet.storing import entry_into_log
from records.tablet.typed import Typed, typed_read

REASON_LENGTH = 300


class Answer(TextChoices):
    MERGE = "merge", "The same job: add what is missing to the one in the log"
    SEPARATE = "separate", "Another job: store what was sent as well"
    WITHOUT = "without", "Store it without the components already changed"
    HERE = "here", "Store it for the pump that the register has at that time"
    AGAIN = "again", "The register is put right now: store it as it was sent"
    AS_IT_IS = "as it is", "It is meant so: store it as it was sent"
    DRAFT = "draft", "Store it as a draft, to be completed and signed"
    LEAVE = "leave", "Leave it to an engineer: the question stays open"
    WITHDRAW = "withdraw", "Withdraw it: it stays on record, and is not stored"


OFFERED: dict[str, tuple[Answer, ...]] = {
    QuestionKind.DUPLICATE: (Answer.MERGE, Answer.SEPARATE),
    QuestionKind.REMOVED: (Answer.MERGE, Answer.WITHOUT, Answer.AGAIN),
    QuestionKind.MOVED: (Answer.HERE, Answer.AGAIN),
    QuestionKind.AS_IS: (Answer.AS_IT_IS, Answer.DRAFT),
}


def answers_offered(user: User, entry: TabletEntry) -> list[Answer]:
    """What this person may answer to this question."""
    offered = list(OFFERED[entry.question["kind"]])
    other = other_of(entry)
    if other is None or not may_merge(user, other):
        offered = [answer for answer in offered if answer != Answer.MERGE]
    if not may(user, "records.correct_repair"):
        offered.append(Answer.LEAVE)
    if may_withdraw(user, entry):
        offered.append(Answer.WITHDRAW)
    return offered


def may_withdraw(user: User, entry: TabletEntry) -> bool:
    """Whoever sent it, and the engineer."""
    return entry.sent_by_id == user.pk or may(user, "records.void_repair")


def other_of(entry: TabletEntry) -> Repair | None:
    """The repair in the log that the question is about."""
    rows = Repair.objects.select_related("site", "position__site", "pump__site")
    return rows.filter(pk=entry.question.get("other")).first()


def position_of(entry: TabletEntry) -> Position:
    rows = Position.objects.select_related("site", "area")
    return rows.get(pk=entry.payload["position"])


def typed_of(entry: TabletEntry) -> Typed:
    """The entry as it was sent, read again for whoever sent it.

    Raises
    ------
    Refused
        When the register has changed so far that it cannot be read any more.
    """
    return typed_read(
        by=entry.sent_by, position=position_of(entry), entry=shaped(entry.payload)
    )


@transaction.atomic
def entry_answer(
    *, by: User, entry: TabletEntry, answer: str, reason: str = ""
) -> TabletEntry:
    """Do what was answered; one that asks something else still waits afterwards.

    Whoever answers stands for what is stored, and signs it where it was sent signed.

    Raises
    ------
    ValidationError
        When it was answered before, or what is answered cannot be stored.
    """
    require(by, "records.log_repair", site=entry.site)
    Site.objects.select_for_update(no_key=True).get(pk=entry.site_id)
    entry = (
        TabletEntry.objects.select_for_update(of=("self",))
        .select_related("site", "sent_by", "answered_by")
        .get(pk=entry.pk)
    )
    _refuse_answered(entry)
    if answer not in answers_offered(by, entry):
        raise PermissionDenied("This is not yours to answer.")
    if answer == Answer.WITHDRAW:
        return _withdraw(by, entry, reason)
    if answer == Answer.LEAVE:
        return _leave(by, entry, reason)
    try:
        # A savepoint: a question that follows is kept, what led to it is not.
        with transaction.atomic():
            entry.repair = _stored(by, entry, Answer(answer))
    except Asked as asked:
        return _ask_on(entry, Answer(answer), asked)
    except Refused as refused:
        raise ValidationError([fault.text for fault in refused.faults]) from refused
    return _close(by, entry, answer)


def _refuse_answered(entry: TabletEntry) -> None:
    if entry.state != EntryState.QUESTION:
        raise ValidationError(
            f"{entry.answered_by or 'Somebody'} answered this on "
            f"{date_time(entry.answered_at)}.",
            code="answered",
        )


def _withdraw(by: User, entry: TabletEntry, reason: str) -> TabletEntry:
    if not reason.strip():
        raise ValidationError({"reason": "Give the reason; it stays with the log."})
    _refuse_long(reason)
    entry.question["reason"] = reason.strip()
    return _close(by, entry, Answer.WITHDRAW)


def _leave(by: User, entry: TabletEntry, note: str) -> TabletEntry:
    """Keep it open for an engineer, with who left it and why."""
    _refuse_long(note)
    left = f"{by} left it to an engineer on {date_time(timezone.now())}."
    entry.question["left"] = " ".join([left, note.strip()]).strip()
    entry.save(update_fields=["question"])
    return entry


def _refuse_long(reason: str) -> None:
    if len(reason) > REASON_LENGTH:
        raise ValidationError(
            {"reason": f"Keep the reason within {REASON_LENGTH} characters."}
        )


def _stored(by: User, entry: TabletEntry, answer: Answer) -> Repair:
    other = other_of(entry)
    if answer == Answer.MERGE and other is not None:
        return entry_merge(by=by, entry=entry, other=other, typed=typed_of(entry))
    settled = _settled(entry, answer)
    return entry_into_log(
        by=by,
        position=position_of(entry),
        entry=settled.laid_over(shaped(entry.payload)),
    )


def _settled(entry: TabletEntry, answer: Answer) -> Settled:
    """What is settled with this answer; AGAIN settles nothing."""
    before, asked = Settled.read(entry.question), entry.question
    given: dict[Answer, dict[str, Any]] = {
        Answer.SEPARATE: {"save_anyway": True},
        Answer.DRAFT: {"is_draft": True},
        Answer.AS_IT_IS: {"as_is": [*before.as_is, *asked["codes"]]},
        Answer.WITHOUT: {
            "without_lives": [*before.without_lives, *asked["lives"]],
            "without_places": [*before.without_places, *asked["places"]],
        },
    }
    if answer == Answer.HERE:
        return before.with_answer(**_here(entry))
    return before.with_answer(**given.get(answer, {}))


def _here(entry: TabletEntry) -> dict[str, Any]:
    """The pump that stood there, without the components of the one that did not."""
    pump = pump_here(entry)
    if pump is None:
        raise ValidationError("By the register no pump stood there at that time.")
    sent = [row["life"] for row in shaped(entry.payload)["done"]["out"]]
    foreign = FittedLife.objects.filter(pk__in=sent).exclude(pump=pump)
    return {
        "pump": pump.pk,
        "without_lives": list(foreign.values_list("pk", flat=True)),
    }


def pump_here(entry: TabletEntry) -> Pump | None:
    """The pump that the register has at the position when it was reported."""
    typed = typed_of(entry)
    return pump_at(position=typed.position, at=typed.facts["reported_at"])


def _ask_on(entry: TabletEntry, answer: Answer, asked: Asked) -> TabletEntry:
    """Keep what was settled, and ask the next question."""
    settled = _settled(entry, answer)
    left = {name: entry.question[name] for name in ["left"] if name in entry.question}
    entry.question = asked.as_json() | {"settled": settled.as_json()} | left
    entry.save(update_fields=["question"])
    return entry


def _close(by: User, entry: TabletEntry, answer: str) -> TabletEntry:
    entry.state = EntryState.ANSWERED
    entry.answer = answer
    entry.answered_by = by
    entry.answered_at = timezone.now()
    entry.save()
    return entry
