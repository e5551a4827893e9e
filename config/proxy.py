"""Whose address a request comes from, so that log-in attempts are counted by person."""

from django.conf import settings
from django.http import HttpRequest


def client_address(request: HttpRequest) -> str | None:
    """The address that our own proxy saw; earlier entries are the client's word."""
    if settings.TRUSTED_PROXY:
        forwarded: str = request.META.get("HTTP_X_FORWARDED_FOR", "")
        nearest = forwarded.rpartition(",")[2].strip()
        if nearest:
            return nearest
    address: str | None = request.META.get("REMOTE_ADDR")
    return address
