"""What stands around the question of one tablet's log."""

from collections.abc import Iterable
from typing import Any

from django.urls import reverse

from plant import display
from plant.models import Position, User
from records.forms.entry_answer import EntryAnswerForm
from records.models import Repair, TabletEntry
from records.models.tablet_entry import EntryState
from records.tablet.answering import Answer, other_of, typed_of
from records.tablet.comparison import compared
from records.tablet.faults import Refused
from records.tablet.merging import may_merge
from records.tablet.questions import QuestionKind

Cell = dict[str, Any]
LIST_COLUMNS = [
    {"label": "Position"},
    {"label": "Question"},
    {"label": "Reported"},
    {"label": "Sent by"},
    {"label": "Received"},
]


def question_rows(entries: Iterable[TabletEntry]) -> list[list[Cell]]:
    entries = list(entries)
    tags = Position.objects.in_bulk([entry.payload["position"] for entry in entries])
    return [_question_row(entry, tags[entry.payload["position"]]) for entry in entries]


def _question_row(entry: TabletEntry, position: Position) -> list[Cell]:
    kind = QuestionKind(entry.question["kind"])
    sentences = [entry.question["sentence"], entry.question.get("left", "")]
    reported = str(entry.payload["noticed"]["reported_at"]).replace("T", " ")
    return [
        {"text": position.tag, "url": question_url(entry), "note": position.service},
        {"text": str(kind.label), "note": " ".join(filter(None, sentences))},
        {"text": reported},
        {"text": str(entry.sent_by)},
        {"text": display.date_time(entry.received_at)},
    ]


def question_url(entry: TabletEntry) -> str:
    return reverse("records:entry_question", args=[entry.pk])


def question_story(
    entry: TabletEntry, form: EntryAnswerForm | None, user: User
) -> dict[str, Any]:
    """Both versions side by side, and the answers; or what was answered."""
    other = other_of(entry)
    return {
        "entry": entry,
        "form": form,
        "title": "Question from a tablet",
        "subtitle": f"Sent by {entry.sent_by}, received on "
        f"{display.date_time(entry.received_at)}",
        "kind": QuestionKind(entry.question["kind"]).label,
        "sentence": entry.question["sentence"],
        "left": entry.question.get("left", ""),
        "steps": [
            {"label": "Repairs", "url": reverse("records:repair_list")},
            {"label": "Questions", "url": reverse("records:entry_questions")},
        ],
        "columns": _columns(other, entry),
        "notes": _notes(entry, other, user),
        **_versions(entry, other),
        "answered": answer_in_words(entry),
    }


def _columns(other: Repair | None, entry: TabletEntry) -> list[dict[str, str]]:
    in_log = f"{other.number}, in the log" if other else "In the log"
    return [
        {"label": "Fact"},
        {"label": in_log},
        {"label": f"Sent by {entry.sent_by}"},
    ]


def _versions(entry: TabletEntry, other: Repair | None) -> dict[str, Any]:
    """The rows, and why they cannot be read any more, if so."""
    try:
        typed = typed_of(entry)
    except Refused as refused:
        return {"rows": [], "unread": str(refused), "other": other}
    return {"rows": compared(other, typed), "unread": "", "other": other}


def _notes(entry: TabletEntry, other: Repair | None, user: User) -> list[str]:
    """What to know before answering."""
    notes = []
    if entry.sent_by_id != user.pk and entry.payload.get("sign"):
        notes.append(
            f"{entry.sent_by} signed this on the tablet. What you store by your answer "
            "is signed with your name, since you decide what goes into the log."
        )
    if other is not None and other.is_signed and not may_merge(user, other):
        notes.append(
            f"{other} is signed: to add to it is a correction, which an engineer makes."
        )
    return notes


def answer_in_words(entry: TabletEntry) -> str:
    """`Withdrawn by ada on 2026-01-02 10:00: entered twice`; blank while it waits."""
    if entry.state == EntryState.QUESTION or not entry.answer:
        return ""
    when = display.date_time(entry.answered_at)
    label = str(Answer(entry.answer).label)
    reason = entry.question.get("reason", "")
    return f"{entry.answered_by} on {when}: {label}." + (f" {reason}" if reason else "")
