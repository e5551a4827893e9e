"""The register that the tablet form keeps for work without network."""

from django.http import HttpResponse, HttpResponseNotModified
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_safe

from plant.requests import UserRequest
from records.tablet.answers import for_tablets
from records.tablet.reading import MOST_BYTES
from records.tablet.register import register_of


@for_tablets(most_bytes=MOST_BYTES)
@require_safe
@gzip_page
def tablet_register(request: UserRequest) -> HttpResponse:
    body, tag = register_of(request.user)
    known = request.headers.get("If-None-Match", "")
    if tag in (part.strip().removeprefix("W/") for part in known.split(",")):
        return HttpResponseNotModified(headers={"ETag": tag})
    return HttpResponse(body, content_type="application/json", headers={"ETag": tag})
