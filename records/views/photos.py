"""Photos of repairs: shown to whoever sees the repair, added, withdrawn."""

from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.core.exceptions import PermissionDenied, ValidationError
from django.core.files.uploadedfile import UploadedFile
from django.http import FileResponse, Http404, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_safe

from plant.access import may, sites_visible
from plant.forms.service_errors import errors_take
from plant.requests import UserRequest
from plant.zones import site_zone
from records.forms.photos import PhotosForm, WithdrawForm
from records.models import Photo, Repair
from records.services.photos import may_withdraw, photo_store, photo_withdraw
from records.views.repair_detail import repair_of
from records.views.repair_forms import form_page, planner_page


@require_safe
def photo(request: UserRequest, pk: int) -> HttpResponseBase:
    row = _photo_of(request, pk)
    if row.withdrawn_reason and not may(request.user, "records.void_repair"):
        raise Http404("This photo was withdrawn.")
    try:
        file = row.picture.open("rb")
    except FileNotFoundError as error:
        raise Http404("The file of this photo is missing.") from error
    answer = FileResponse(file, content_type="image/jpeg", filename=f"photo-{pk}.jpg")
    answer["X-Content-Type-Options"] = "nosniff"
    answer["Cache-Control"] = "private, no-store"
    return answer


@form_page
@planner_page
def repair_photos(request: UserRequest, pk: int) -> HttpResponse:
    repair = repair_of(request, pk)
    form = PhotosForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        files = form.cleaned_data["pictures"]
        caption = form.cleaned_data["caption"]
        stored = [_stored(request, form, repair, file, caption) for file in files]
        if any(stored):
            messages.success(request, f"Photos added: {sum(stored)}.")
        if all(stored):
            return redirect(repair)
    with site_zone(repair.site):
        context = {"repair": repair, "form": form}
        return render(request, "records/repair_photos.html", context)


def _stored(
    request: UserRequest,
    form: PhotosForm,
    repair: Repair,
    file: "UploadedFile[bytes]",
    caption: str,
) -> bool:
    """Whether this one is kept; each file stands for itself."""
    kept: dict[str, Any] = {
        "file": file.file,
        "size": file.size or 0,
        "caption": caption,
    }
    try:
        photo_store(by=request.user, repair=repair, key=uuid4(), **kept)
    except ValidationError as error:
        form.add_error("pictures", f"{file.name}: {' '.join(error.messages)}")
        return False
    return True


@form_page
@planner_page
def photo_withdrawing(request: UserRequest, pk: int) -> HttpResponse:
    row = _photo_of(request, pk)
    if not may_withdraw(request.user, row):
        raise PermissionDenied("Only its maker or an engineer withdraws a photo.")
    form = WithdrawForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            photo_withdraw(by=request.user, photo=row, **form.cleaned_data)
        except ValidationError as error:
            errors_take(form, error, {})
        else:
            messages.success(request, "The photo is withdrawn.")
            return redirect(row.repair)
    context = {"photo": row, "repair": row.repair, "form": form}
    return render(request, "records/photo_withdraw.html", context)


def _photo_of(request: UserRequest, pk: int) -> Photo:
    rows = Photo.objects.filter(repair__site__in=sites_visible(request.user))
    return get_object_or_404(rows.select_related("repair__site"), pk=pk)
