"""Answers to tablets: always JSON, never a redirect, also to whoever may not."""

import json
from collections.abc import Callable
from functools import wraps
from typing import Any, cast

from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import PermissionDenied
from django.core.serializers.json import DjangoJSONEncoder
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import CsrfViewMiddleware
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.csrf import csrf_exempt

from plant.access import require
from plant.requests import UserRequest
from records.models import TabletEntry
from records.models.tablet_entry import EntryState
from records.tablet.faults import Refused
from records.tablet.reading import NotReadable

LOG_IN = "Log in again; what you typed is kept on this tablet."
STALE_TOKEN = "The page is from an earlier log-in; fetch a new token and send again."
TOO_LARGE = "This is more than the logbook takes at once."
View = Callable[..., HttpResponse]


class _Token(CsrfViewMiddleware):
    """Django's own check; its answer is only the reason, not a page."""

    def _reject(self, request: HttpRequest, reason: str) -> HttpResponse:
        return HttpResponse(reason, status=403)


def error(status: int, text: str) -> JsonResponse:
    return JsonResponse({"error": text}, status=status)


def for_tablets(*, most_bytes: int) -> Callable[[View], View]:
    """Let a view answer a tablet: log-in, token, size and role are checked here.

    The usual middleware would answer with pages, and a page looks like a success to
    whoever only reads the status after a redirect.
    """

    def decorate(view: View) -> View:
        @never_cache
        @csrf_exempt
        @login_not_required
        @wraps(view)
        def answer(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
            refused = _refusal(request, most_bytes)
            if refused is not None:
                return refused
            try:
                user_request = cast(UserRequest, request)
                require(user_request.user, "records.log_repair")
                return view(user_request, *args, **kwargs)
            except NotReadable as unread:
                return error(400, str(unread))
            except PermissionDenied as denied:
                return error(403, str(denied))

        return cast(View, answer)

    return decorate


def _refusal(request: HttpRequest, most_bytes: int) -> JsonResponse | None:
    if not request.user.is_authenticated:
        return error(401, LOG_IN)
    if _length(request) > most_bytes:
        return error(413, TOO_LARGE)
    token = _Token(lambda _request: HttpResponse())
    # Without a view to look at, the check holds whatever was exempted.
    if token.process_view(request, cast(Any, None), (), {}) is not None:
        return error(403, STALE_TOKEN)
    return None


def _length(request: HttpRequest) -> int:
    length = str(request.META.get("CONTENT_LENGTH") or "0")
    return int(length) if length.isdecimal() and len(length) < 19 else 10**18


def refused(key: str, refusal: Refused, status: int = 422) -> JsonResponse:
    """Nothing is stored; every fault beside the field to mend."""
    errors = [fault.as_json() for fault in refusal.faults]
    body = {"key": key, "state": "refused", "errors": errors}
    return JsonResponse(body, status=status)


def entry_answer(entry: TabletEntry, *, is_new: bool = False) -> JsonResponse:
    """What became of an entry, when it was sent."""
    if entry.state == EntryState.QUESTION:
        return JsonResponse(entry_state(entry), status=409)
    return JsonResponse(entry_state(entry), status=201 if is_new else 200)


def entry_state(entry: TabletEntry) -> dict[str, Any]:
    """The same body whenever it is asked for."""
    state: dict[str, Any] = {"key": str(entry.key), "state": str(entry.state)}
    if entry.state == EntryState.QUESTION:
        return state | {
            "question_url": reverse("records:entry_question", args=[entry.pk]),
            "question": entry.question["sentence"],
        }
    if entry.repair is None:
        return state | {"number": "", "url": "", "answer": entry.answer}
    return state | {
        "number": entry.repair.number,
        "url": entry.repair.get_absolute_url(),
    }


def dumped(value: Any) -> bytes:
    """JSON as small as it goes, for what is fetched whole."""
    return json.dumps(
        value, cls=DjangoJSONEncoder, separators=(",", ":"), ensure_ascii=False
    ).encode()
