"""Administration of people, sites and areas; repairs and lives are never kept here."""

from typing import Any

from axes.utils import reset
from django.contrib import admin
from django.contrib.auth.admin import UserAdmin
from django.contrib.auth.forms import AdminPasswordChangeForm, UserCreationForm
from django.contrib.auth.models import Group
from django.db import models
from django.forms import CheckboxSelectMultiple
from django.http import HttpRequest
from django.utils.safestring import mark_safe

from plant.access import roles, sites_visible
from plant.display import count, yes_no
from plant.forms.site import SiteForm
from plant.keeping import InOurWords
from plant.models import Area, Site, User
from plant.requests import user_of

ADMINISTRATOR = "administrator"
PERSON_FIELDS = ("username", "first_name", "last_name", "email")


class OwnSitesFilter(admin.RelatedFieldListFilter):
    """The administrator's own sites; the names of others are not shown."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.empty_value_display = mark_safe("none")

    def field_choices(
        self, field: Any, request: HttpRequest, model_admin: Any
    ) -> list[tuple[str, Any]]:
        own = sites_visible(user_of(request))
        return [(str(site.pk), site.name) for site in own]


class RolesFilter(admin.RelatedFieldListFilter):
    """The roles, called so."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.title = mark_safe("role")
        self.empty_value_display = mark_safe("none")


class NewPasswordForm(AdminPasswordChangeForm):  # type: ignore[type-arg]
    """A password twice; people here log in with nothing else."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields.pop("usable_password", None)
        for field in self.fields.values():
            field.required = True


class OwnSitesAdmin(InOurWords):
    """Rows of the administrator's own sites; nothing is deleted here."""

    site_path = "pk"

    def get_queryset(self, request: HttpRequest) -> models.QuerySet[Any]:
        rows = super().get_queryset(request)
        return rows.filter(**{f"{self.site_path}__in": sites_visible(user_of(request))})

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False


@admin.register(Site)
class SiteAdmin(OwnSitesAdmin):
    form = SiteForm
    heading = "Sites"
    adding = "Add a site"
    meaning = "The works: clock, currency, and from which day its log counts."
    labels = {"rework_window_days": "Rework window, days"}
    helps = {
        "time_zone": "Such as Europe/Amsterdam: the clock of every time logged here.",
        "currency": "Three letters, such as EUR.",
    }
    list_display = ("name", "time_zone", "currency", "records_from")
    fields = (
        "name",
        "time_zone",
        "currency",
        "records_from",
        "rework_window_days",
        "reject_counts_as_failure",
        "energy_price_per_kwh",
        "discount_rate",
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
    heading = "Areas"
    adding = "Add an area"
    meaning = "The process units of a site, for filters and totals."
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
class PersonAdmin(InOurWords, UserAdmin):  # type: ignore[type-arg]
    """People with their roles and sites.

    Nobody hands out more than they have: superusers and the command-line row are
    closed to administrators, and one of some sites gives only those. Who also works
    at others is closed to them: a new password would open those sites.
    """

    heading = "People"
    adding = "Add a person"
    meaning = "Who logs in, with which roles, at which sites; log-in blocks."
    labels = {"username": "User name", "is_active": "May log in"}
    helps = {
        "username": "Letters, digits and @ . + - _ only.",
        "is_active": "Untick when somebody leaves: the name stays on what they logged.",
        "sites": "What they may see and log, unless they see all sites.",
    }
    add_form = UserCreationForm
    add_form_template = None
    change_password_form = NewPasswordForm
    change_user_password_template = "admin/plant/user/password.html"
    list_display = ("username", "first_name", "last_name", "role_names", "may_log_in")
    list_filter = ("is_active", ("groups", RolesFilter), ("sites", OwnSitesFilter))
    search_fields = ()
    filter_horizontal = ()
    readonly_fields = ("last_login", "date_joined")
    actions = ("block_lift",)
    fieldsets = (
        (None, {"fields": (*PERSON_FIELDS, "is_active")}),
        ("Role and sites", {"fields": ("groups", "sees_all_sites", "sites")}),
        ("Seen", {"fields": ("last_login", "date_joined")}),
    )
    add_fieldsets = (
        (None, {"fields": (*PERSON_FIELDS, "password1", "password2")}),
        ("Role and sites", {"fields": ("groups", "sees_all_sites", "sites")}),
    )

    @admin.display(description="roles")
    def role_names(self, person: User) -> str:
        return ", ".join(group.name for group in person.groups.all())

    @admin.display(description="may log in", ordering="is_active")
    def may_log_in(self, person: User) -> str:
        return yes_no(person.is_active)

    def get_queryset(self, request: HttpRequest) -> models.QuerySet[User]:
        rows = super().get_queryset(request).prefetch_related("groups")
        if user_of(request).is_superuser or user_of(request).sees_all_sites:
            return rows
        own = sites_visible(user_of(request))
        return rows.filter(sites__in=own, sees_all_sites=False).distinct()

    def formfield_for_dbfield(
        self, db_field: Any, request: HttpRequest, **options: Any
    ) -> Any:
        field = super().formfield_for_dbfield(db_field, request, **options)
        if db_field.name == "sees_all_sites":
            user = user_of(request)
            field.disabled = not (user.is_superuser or user.sees_all_sites)
        return field

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

    def get_fieldsets(self, request: HttpRequest, obj: Any = None) -> Any:
        """Without the sites where the row is closed: others' names are not shown."""
        fieldsets = super().get_fieldsets(request, obj)
        if obj is None or self.has_change_permission(request, obj):
            return fieldsets
        return [part for part in fieldsets if "sites" not in part[1]["fields"]]

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        """People are made inactive: their name stays on what they logged."""
        return False

    def save_related(
        self, request: HttpRequest, form: Any, formsets: Any, change: bool
    ) -> None:
        """Leave nobody without a site and a keeper; staff follows the role."""
        person: User = form.instance
        super().save_related(request, form, formsets, change)
        if not (change or person.sees_all_sites or person.sites.exists()):
            # Else somebody entered without a site would be out of everyone's sight.
            person.sites.set(sites_visible(user_of(request)))
        person.is_staff = (
            person.is_superuser or person.groups.filter(name=ADMINISTRATOR).exists()
        )
        person.save(update_fields=["is_staff"])

    @staticmethod
    def _is_above(administrator: User, person: User) -> bool:
        if administrator.is_superuser or person.is_superuser:
            return not administrator.is_superuser
        if administrator.sees_all_sites:
            return False
        unseen = person.sites.exclude(pk__in=sites_visible(administrator))
        return person.sees_all_sites or unseen.exists()
