"""Entries sent by tablets, what became of each, and the token to send the next."""

from uuid import UUID

from django.http import HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.views.decorators.http import require_POST, require_safe

from plant.requests import UserRequest
from records.models import TabletEntry
from records.tablet import answers
from records.tablet.faults import Refused
from records.tablet.reading import MOST_BYTES, body_read
from records.tablet.storing import entry_store


@answers.for_tablets(most_bytes=MOST_BYTES)
@require_POST
def tablet_entries(request: UserRequest) -> HttpResponse:
    if request.content_type != "application/json":
        return answers.error(400, "JSON is expected.")
    payload = body_read(request.body)
    try:
        entry, is_new = entry_store(by=request.user, payload=payload)
    except Refused as refusal:
        return answers.refused(str(payload.get("key")), refusal)
    return answers.entry_answer(entry, is_new=is_new)


@answers.for_tablets(most_bytes=MOST_BYTES)
@require_safe
def tablet_entry(request: UserRequest, key: UUID) -> HttpResponse:
    entry = TabletEntry.objects.filter(key=key, sent_by=request.user).first()
    if entry is None:
        return answers.error(404, "No log came with this key.")
    return JsonResponse(answers.entry_state(entry))


@answers.for_tablets(most_bytes=MOST_BYTES)
@require_safe
def tablet_token(request: UserRequest) -> HttpResponse:
    return JsonResponse({"token": get_token(request), "user_id": request.user.pk})
