"""The page of the tablet form and its service worker; neither names a pump."""

import json
from hashlib import sha256
from pathlib import Path

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.templatetags.static import static
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from plant.access import may
from plant.requests import UserRequest
from records.cautions import FIRST_LINE
from records.forms.tablet import costs_forms, steps_forms
from records.stories.tablet_shell import rules_for_tablet
from records.views.repair_forms import planner_page

FILES = settings.BASE_DIR / "config" / "static"
TEMPLATES = settings.BASE_DIR / "templates"
STEPS = [
    ("noticed", "What was noticed"),
    ("found", "What was found"),
    ("done", "What was done"),
    ("checks", "Checks"),
    ("hours", "Hours and costs"),
    ("story", "Text and photos"),
    ("review", "Review and sign"),
]
URLS = {
    "register": "records:tablet_register",
    "token": "records:tablet_token",
    "entries": "records:tablet_entries",
    "photos": "records:tablet_photos",
    "worker": "records:tablet_worker",
    "shell": "records:tablet",
    "login": "login",
}


@require_safe
@never_cache
@planner_page
def tablet(request: UserRequest) -> HttpResponse:
    user = request.user
    sees_costs = may(user, "records.see_costs")
    person = {"id": user.pk, "name": user.get_full_name() or user.get_username()}
    config = {
        "user": {**person, "sees_costs": sees_costs},
        "urls": {name: reverse(address) for name, address in URLS.items()},
        "rules": rules_for_tablet(),
    }
    context = {
        "config": config,
        "steps": STEPS,
        "forms": {**steps_forms(), "costs": costs_forms() if sees_costs else []},
        "sees_costs": sees_costs,
        "caution": FIRST_LINE,
    }
    answer = render(request, "records/tablet.html", context)
    # An older worker then takes the scripts of this page from the server too.
    answer["Tablet-Version"] = assets_digest()
    return answer


@require_safe
@login_not_required
def tablet_worker(_request: HttpRequest) -> HttpResponse:
    """The worker's script with what it keeps; a changed asset changes its version."""
    page = reverse("records:tablet")
    kept = {
        "page": page,
        "version": assets_digest(),
        "assets": asset_addresses(),
    }
    script = static("site/js/tablet/worker.js")
    body = f'self.kept = {json.dumps(kept)};\nimportScripts("{script}");\n'
    answer = HttpResponse(body, content_type="text/javascript; charset=utf-8")
    answer["Service-Worker-Allowed"] = page
    answer["Cache-Control"] = "no-cache"
    return answer


def assets() -> list[Path]:
    """Style sheets, scripts and pictures that the page needs without network."""
    site = FILES / "site"
    scripts = [*site.glob("js/scan*.js"), *site.glob("js/tablet/*.js")]
    return sorted([*site.glob("css/*.css"), *scripts, site / "mark.svg"])


def asset_addresses() -> list[str]:
    """Hashed names as pages link them, and plain ones as scripts import each other."""
    names = [path.relative_to(FILES).as_posix() for path in assets()]
    plain = [f"{settings.STATIC_URL}{name}" for name in names if name.endswith(".js")]
    linked = [static(name) for name in names]
    return sorted({*linked, *plain, static("django_htmx/htmx-2.min.js")})


def assets_digest() -> str:
    digest = sha256()
    pages = [TEMPLATES / "base.html", *TEMPLATES.glob("records/tablet*.html")]
    for path in sorted([*assets(), *pages]):
        digest.update(path.read_bytes())
    return digest.hexdigest()[:16]
