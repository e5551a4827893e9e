"""The administration as a part of the logbook: who enters, and what it offers."""

from collections.abc import Callable
from functools import update_wrapper
from typing import Any, cast

from django.contrib import admin
from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect

from plant.keeping import InOurWords

View = Callable[..., HttpResponse]


class AdministrationSite(admin.AdminSite):
    """Django's administration behind our own log-in and refusal."""

    site_header = site_title = "Pump Fleet Logbook"
    index_title = "Administration"
    site_url = None
    enable_nav_sidebar = False

    def has_permission(self, request: HttpRequest) -> bool:
        return super().has_permission(request) and request.user.has_perm(
            "plant.administer_site"
        )

    def admin_view(self, view: Any, cacheable: bool = False) -> Any:
        """Refuse in our words whom Django would offer a second log-in page."""
        inner: View = super().admin_view(view, cacheable)

        def entrance(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
            if not self.has_permission(request):
                return self.refuse(request)
            return inner(request, *args, **kwargs)

        return update_wrapper(entrance, inner)

    def login(self, request: HttpRequest, extra_context: Any = None) -> HttpResponse:
        if self.has_permission(request):
            return redirect("admin:index")
        return self.refuse(request)

    def refuse(self, request: HttpRequest) -> HttpResponse:
        if request.user.is_authenticated:
            raise PermissionDenied
        return redirect_to_login(request.GET.get("next", request.get_full_path()))

    def index(self, request: HttpRequest, extra_context: Any = None) -> Any:
        """One table of what is kept here, a sentence for each."""
        rows = [
            [
                {"text": keeper.heading, "url": model["admin_url"]},
                {"text": keeper.meaning},
            ]
            for app in self.get_app_list(request)
            for model in app["models"]
            for keeper in [cast(InOurWords, self.get_model_admin(model["model"]))]
        ]
        columns = [{"label": "Kept here"}, {"label": "What it is"}]
        return super().index(request, {"rows": rows, "columns": columns})

    def app_index(
        self, request: HttpRequest, app_label: str, extra_context: Any = None
    ) -> Any:
        return redirect("admin:index")
