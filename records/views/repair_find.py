"""Finding the pump for a new repair: by a few characters, or by its tag."""

from typing import Any

from django.conf import settings
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.cache import patch_vary_headers
from django.views.decorators.http import require_safe

from plant.access import may
from plant.models import Position, User
from plant.requests import UserRequest
from plant.tags.codes import TagCode
from plant.tags.reading import LONGEST, tag_read
from records.selectors.pump_search import pumps_found
from records.selectors.tag_place import repair_place_of
from records.tables.pump_search import position_matches, pump_matches


@require_safe
@permission_required("records.log_repair", raise_exception=True)
def repair_find(request: UserRequest) -> HttpResponse:
    """The page, the results alone for htmx, or on to the form for a tag's code."""
    context: dict[str, Any] = {"code": _typed(request, "code", LONGEST)}
    if context["code"]:
        try:
            tag = tag_read(context["code"], _own_hosts(request))
            return redirect(_form_address(request.user, tag))
        except ValidationError as error:
            context["refusal"] = " ".join(error.messages)
    context |= _results(request.user, _typed(request, "text", 80))
    part = "_results" if request.htmx else ""  # type: ignore[attr-defined]
    response = render(request, f"records/repair_find{part}.html", context)
    # The same address answers with a page or with its results: caches keep them apart.
    patch_vary_headers(response, ["HX-Request"])
    return response


def _results(user: User, text: str) -> dict[str, Any]:
    found = pumps_found(user=user, text=text)
    matches = position_matches(found)
    stored = pump_matches(found.pumps)
    context: dict[str, Any] = {"text": text, "matches": matches, "stored": stored}
    context["is_cut"] = found.is_cut and bool(text)
    if not matches and not stored:
        context["empty"] = _nothing(user)
    return context


def _nothing(user: User) -> dict[str, str]:
    """What to do when no pump fits, or none is there at all."""
    if Position.objects.visible_to(user).exists():
        return {"text": "No pump fits. Try fewer characters, or the code on its tag."}
    none = "No pump is registered yet at your sites."
    if may(user, "plant.change_register"):
        url = reverse("plant:position_new")
        text = f"{none} Register the position and its pump, then log the repair."
        return {"text": text, "url": url, "label": "Register a position"}
    return {
        "text": f"{none} An engineer registers positions and pumps; an administrator "
        "imports a whole fleet. After that, log the repair here."
    }


def _form_address(user: User, tag: TagCode) -> str:
    name, pk = repair_place_of(user=user, tag=tag)
    return f"{reverse('records:repair_new')}?{name}={pk}"


def _own_hosts(request: UserRequest) -> set[str]:
    """This address, and each name that the logbook answers to: tags outlive names."""
    named = {name for name in settings.ALLOWED_HOSTS if name[:1] not in ("*", ".")}
    return {request.get_host(), *named}


def _typed(request: UserRequest, name: str, longest: int) -> str:
    return request.GET.get(name, "").replace("\x00", "").strip()[:longest]
