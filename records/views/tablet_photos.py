"""Photos sent by tablets, each after the entry that it belongs to."""

from uuid import UUID

from django.core.exceptions import ValidationError
from django.http import HttpResponse, JsonResponse
from django.views.decorators.http import require_POST

from plant.requests import UserRequest
from records.models import TabletEntry
from records.services.photos import MOST_BYTES, TOO_BIG, photo_store
from records.tablet import answers
from records.tablet.faults import Fault, Refused, faults_of
from records.tablet.reading import NotReadable

# Around the file stand a few short fields.
MOST_REQUEST_BYTES = MOST_BYTES + 64 * 1024
NO_REPAIR = "No repair holds this log yet: it asks something, or was withdrawn."
PATHS = {"picture": "photos.picture", "caption": "photos.caption"}


@answers.for_tablets(most_bytes=MOST_REQUEST_BYTES)
@require_POST
def tablet_photos(request: UserRequest) -> HttpResponse:
    key, entry_key = (_key(request, name) for name in ("key", "entry_key"))
    entry = TabletEntry.objects.filter(key=entry_key, sent_by=request.user).first()
    if entry is None:
        return JsonResponse({"state": "entry unknown"}, status=409)
    if entry.repair is None:
        # Waits for an answer, or was withdrawn: there is no repair to put it to.
        state = {"error": NO_REPAIR, **answers.entry_state(entry)}
        return JsonResponse(state, status=409)
    try:
        is_new = _store(request, entry, key)
    except Refused as refusal:
        return answers.refused(str(key), refusal)
    except ValidationError as error:
        status = 413 if TOO_BIG in error.messages else 422
        return answers.refused(str(key), Refused(faults_of(error, PATHS)), status)
    return JsonResponse({"key": str(key)}, status=201 if is_new else 200)


def _store(request: UserRequest, entry: TabletEntry, key: UUID) -> bool:
    file = request.FILES.get("picture")
    if file is None or file.file is None or entry.repair is None:
        raise Refused([Fault("photos.picture", "Send the picture.")])
    _photo, is_new = photo_store(
        by=request.user,
        repair=entry.repair,
        file=file.file,
        size=file.size or 0,
        key=key,
        caption=request.POST.get("caption", ""),
    )
    return is_new


def _key(request: UserRequest, name: str) -> UUID:
    try:
        return UUID(request.POST.get(name, ""))
    except ValueError as error:
        raise NotReadable(f"{name} is not a UUID.") from error
