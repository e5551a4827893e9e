"""When another writer holds the database too long, say so and lose nothing typed."""

import logging
from collections.abc import Callable

from django.db import OperationalError, connection
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render

logger = logging.getLogger(__name__)

SENTENCE = (
    "The database is busy with a long import or another large change. Nothing was "
    "stored, and nothing that you typed is lost."
)
RETRY_AFTER_SECONDS = 30
NOT_SENT_AGAIN = "csrfmiddlewaretoken"


class BusyDatabaseMiddleware:
    """Turns SQLite's "database is locked" into an answer with a sentence, status 503.

    The page offers to send the typed fields again. PostgreSQL lets writers wait for
    rows, not for the whole database, so there the error means something else.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_exception(
        self, request: HttpRequest, error: Exception
    ) -> HttpResponse | None:
        is_busy = isinstance(error, OperationalError) and "locked" in str(error)
        if connection.vendor != "sqlite" or not is_busy:
            return None
        logger.warning("Database locked: %s %s", request.method, request.path)
        answer = _answer(request)
        answer["Retry-After"] = str(RETRY_AFTER_SECONDS)
        return answer


def _answer(request: HttpRequest) -> HttpResponse:
    if request.content_type == "application/json":
        return JsonResponse({"error": SENTENCE}, status=503)
    typed = [
        (name, value)
        for name, values in request.POST.lists()
        for value in values
        if name != NOT_SENT_AGAIN
    ]
    context = {
        "sentence": SENTENCE,
        "address": request.get_full_path(),
        "is_post": request.method == "POST",
        "typed": typed,
        "had_files": bool(request.FILES),
    }
    return render(request, "busy.html", context, status=503)
