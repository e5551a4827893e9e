"""Logs of tablets that ask something: the list, and one with both its versions."""

from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_safe

from plant.forms.service_errors import errors_take
from plant.listing import page_of
from plant.requests import UserRequest
from plant.zones import site_zone
from records.forms.entry_answer import EntryAnswerForm
from records.models import TabletEntry
from records.models.tablet_entry import EntryState
from records.selectors.tablet_entries import entries_visible, questions_open
from records.stories.entry_question import (
    LIST_COLUMNS,
    question_rows,
    question_story,
    question_url,
)
from records.tablet.answering import Answer, answers_offered, entry_answer
from records.views.repair_forms import form_page, planner_page


@require_safe
@planner_page
def entry_questions(request: UserRequest) -> HttpResponse:
    page = page_of(questions_open(request.user), request.GET)
    context = {
        "page": page,
        "query": request.GET,
        "columns": LIST_COLUMNS,
        "rows": question_rows(page.object_list),
    }
    return render(request, "records/entry_questions.html", context)


@form_page
@planner_page
def entry_question(request: UserRequest, pk: int) -> HttpResponse:
    rows = entries_visible(request.user).exclude(state=EntryState.STORED)
    entry = get_object_or_404(rows, pk=pk)
    offered = []
    if entry.state == EntryState.QUESTION:
        offered = answers_offered(request.user, entry)
    form = EntryAnswerForm(request.POST or None, offered=offered)
    with site_zone(entry.site):
        if request.method == "POST" and form.is_valid():
            answer = _answered(request, entry, form)
            if answer is not None:
                return answer
        story = question_story(entry, form if offered else None, request.user)
        return render(request, "records/entry_question.html", story)


def _answered(
    request: UserRequest, entry: TabletEntry, form: EntryAnswerForm
) -> HttpResponse | None:
    """Where the answer leads; None when it was refused."""
    before = entry.question
    try:
        entry = entry_answer(by=request.user, entry=entry, **form.cleaned_data)
    except ValidationError as error:
        errors_take(form, error, {})
        return None
    if entry.state == EntryState.QUESTION:
        return _still_open(request, entry, form.cleaned_data["answer"], before)
    if entry.repair is None:
        messages.success(request, "It is withdrawn, and stays on record.")
        return redirect("records:entry_questions")
    messages.success(request, f"{entry.repair} holds it now.")
    return redirect(entry.repair)


def _still_open(
    request: UserRequest, entry: TabletEntry, answer: str, before: dict[str, Any]
) -> HttpResponse:
    """Say why it still waits: left to somebody, the same again, or something else."""
    if answer == Answer.LEAVE:
        messages.info(request, "It is left to an engineer; the question stays open.")
        return redirect("records:entry_questions")
    sentence = entry.question["sentence"]
    if sentence == before["sentence"]:
        text = f"Still the same: {sentence} Nothing is stored yet."
    else:
        text = "Another question came up; nothing is stored yet."
    messages.info(request, text)
    return redirect(question_url(entry))
