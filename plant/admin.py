"""Administration of people, sites and areas; repairs and lives are never kept here."""

from typing import Any

from axes.utils import reset
from django.contrib import admin
from django.contrib.auth.admin import UserAdmin
from django.contrib.auth.models import Group
from django.db import models
from django.forms import CheckboxSelectMultiple
from django.http import HttpRequest

from plant.access import roles, sites_visible
from plant.display import count
from plant.models import Area, Site, User
from plant.requests import user_of

admin.site.site_header = "Pump Fleet Logbook: administration"
admin.site.site_title = "Pump Fleet Logbook"
admin.site.index_title = "People, sites and rules"
admin.site.site_url = "/"
# Roles are the groups that the apps name; nobody makes others by hand.
admin.site.unregister(Group)

ADMINISTRATOR = "administrator"
PERSON_FIELDS = ("username", "first_name", "last_name", "email")


class OwnSitesFilter(admin.RelatedFieldListFilter):
    """The administrator's own sites; the names of others are not shown."""

    def field_choices(
        self, field: Any, request: HttpRequest, model_admin: Any
    ) -> list[tuple[str, Any]]:
        own = sites_visible(user_of(request))
        return [(str(site.pk), site.name) for site in own]


class OwnSitesAdmin(admin.ModelAdmin):  # type: ignore[type-arg]
    """Rows of the administrator's own sites; nothing is deleted here."""

    site_path = "pk"

    def get_queryset(self, request: HttpRequest) -> models.QuerySet[Any]:
        rows = super().get_queryset(request)
        return rows.filter(**{f"{self.site_path}__in": sites_visible(user_of(request))})

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False


@admin.register(Site)
class SiteAdmin(OwnSitesAdmin):
    list_display = ("name", "time_zone", "currency", "records_from")
    fields = (
        "name",
        "time_zone",
        "currency",
        "records_from",
        "rework_window_days",
        "reject_counts_as_failure",
    )

    def save_model(
        self, request: HttpRequest, obj: Site, form: Any, change: bool
    ) -> None:
        """Let whoever enters a site also see it."""
        super().save_model(request, obj, form, change)
        if not change and not user_of(request).sees_all_sites:
            user_of(request).sites.add(obj)


@admin.register(Area)
class AreaAdmin(OwnSitesAdmin):
    site_path = "site"
    list_display = ("name", "site")
    list_filter = (("site", OwnSitesFilter),)
    list_select_related = ("site",)
    fields = ("site", "name")

    def formfield_for_foreignkey(
        self, db_field: Any, request: HttpRequest, **options: Any
    ) -> Any:
        options["queryset"] = sites_visible(user_of(request))
        return super().formfield_for_foreignkey(db_field, request, **options)


@admin.register(User)
class PersonAdmin(UserAdmin):  # type: ignore[type-arg]
    """People with their roles and sites.

    Nobody hands out more than they have: superusers and the command-line row are
    closed to administrators, and one of some sites gives only those.
    """

    list_display = ("username", "first_name", "last_name", "role_names", "is_active")
    list_filter = ("is_active", "groups", ("sites", OwnSitesFilter))
    filter_horizontal = ()
    actions = ("block_lift",)
    fieldsets = (
        (None, {"fields": (*PERSON_FIELDS, "password", "is_active")}),
        ("Role and sites", {"fields": ("groups", "sees_all_sites", "sites")}),
        ("Seen", {"fields": ("last_login", "date_joined")}),
    )
    add_fieldsets = (
        (
            None,
            {"fields": ("username", "usable_password", "password1", "password2")},
        ),
        ("Role and sites", {"fields": ("groups", "sees_all_sites", "sites")}),
    )

    @admin.display(description="roles")
    def role_names(self, person: User) -> str:
        return ", ".join(group.name for group in person.groups.all())

    def get_queryset(self, request: HttpRequest) -> models.QuerySet[User]:
        rows = super().get_queryset(request).prefetch_related("groups")
        if user_of(request).is_superuser or user_of(request).sees_all_sites:
            return rows
        own = sites_visible(user_of(request))
        return rows.filter(sites__in=own, sees_all_sites=False).distinct()

    def get_readonly_fields(self, request: HttpRequest, obj: Any = None) -> Any:
        fixed = ("last_login", "date_joined")
        if user_of(request).is_superuser or user_of(request).sees_all_sites:
            return fixed
        return (*fixed, "sees_all_sites")

    def formfield_for_manytomany(
        self, db_field: Any, request: HttpRequest, **options: Any
    ) -> Any:
        options["widget"] = CheckboxSelectMultiple
        if db_field.name == "sites":
            options["queryset"] = sites_visible(user_of(request))
            return super().formfield_for_manytomany(db_field, request, **options)
        options["queryset"] = Group.objects.filter(name__in=roles())
        options |= {"label": "Roles", "help_text": "Each brings its own rights."}
        return super().formfield_for_manytomany(db_field, request, **options)

    @admin.action(description="Lift the log-in block", permissions=["change"])
    def block_lift(self, request: HttpRequest, people: models.QuerySet[User]) -> None:
        lifted = sum(reset(username=person.username) for person in people)
        self.message_user(request, f"Forgot {count(lifted, 'blocked name')}.")

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        if obj is not None and (obj.is_shell or self._is_above(user_of(request), obj)):
            return False
        return super().has_change_permission(request, obj)

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        """People are made inactive: their name stays on what they logged."""
        return False

    def save_related(
        self, request: HttpRequest, form: Any, formsets: Any, change: bool
    ) -> None:
        """Keep sites that the administrator does not see; staff follows the role."""
        person: User = form.instance
        hidden = person.sites.exclude(pk__in=sites_visible(user_of(request)))
        kept = list(hidden) if change else []
        super().save_related(request, form, formsets, change)
        person.sites.add(*kept)
        if not (change or person.sees_all_sites or person.sites.exists()):
            # Else somebody entered without a site would be out of everyone's sight.
            person.sites.set(sites_visible(user_of(request)))
        person.is_staff = (
            person.is_superuser or person.groups.filter(name=ADMINISTRATOR).exists()
        )
        person.save(update_fields=["is_staff"])

    @staticmethod
    def _is_above(administrator: User, person: User) -> bool:
        return person.is_superuser and not administrator.is_superuser
