"""Shows times in the zone of the site that the user works at."""

from collections.abc import Callable
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from plant.access import sites_visible

HEALTH_PATH = "/health/"


class SiteZoneMiddleware:
    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        # The health check must answer also when the session cannot be read.
        if request.path == HEALTH_PATH or not request.user.is_authenticated:
            return self.get_response(request)
        zone = sites_visible(request.user).values_list("time_zone", flat=True).first()
        with timezone.override(ZoneInfo(zone) if zone else None):
            return self.get_response(request)
