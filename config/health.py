"""The one page without a log-in: is the app up, and does its database answer?"""

from django.contrib.auth.decorators import login_not_required
from django.db import DatabaseError, connection
from django.http import HttpRequest, JsonResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe


@login_not_required
@never_cache
@require_safe
def health(request: HttpRequest) -> JsonResponse:
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1")
    except DatabaseError:
        return JsonResponse({"app": "ok", "database": "not answering"}, status=503)
    return JsonResponse({"app": "ok", "database": "ok", "engine": connection.vendor})
