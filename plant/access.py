"""Who may do what, and on which sites. Pages and services both ask here."""

from typing import Any

from django.apps import AppConfig, apps
from django.contrib.auth.management import create_permissions
from django.contrib.auth.models import Group, Permission
from django.core.exceptions import PermissionDenied
from django.db import models

from plant.models import SHELL_USERNAME, Site, User


def roles_sync(sender: AppConfig, **_: Any) -> None:
    """Make the role groups and give them the permissions that `sender` names."""
    wanted: dict[str, list[str]] = getattr(sender, "role_permissions", {})
    # Django makes permissions in a receiver of the same signal; it may run later.
    create_permissions(sender, verbosity=0)
    for role, names in wanted.items():
        group, _made = Group.objects.get_or_create(name=role)
        codenames = [name.split(".", 1)[1] for name in names]
        group.permissions.add(
            *Permission.objects.filter(
                content_type__app_label=sender.label, codename__in=codenames
            )
        )


def roles() -> list[str]:
    """Every role that an app of ours names."""
    names: set[str] = set()
    for app in apps.get_app_configs():
        names |= set(getattr(app, "role_permissions", {}))
    return sorted(names)


def shell_user() -> User:
    """The row that stands for the server's command line; it can never log in."""
    user, made = User.objects.get_or_create(
        username=SHELL_USERNAME, defaults={"is_active": False, "sees_all_sites": True}
    )
    if made:
        user.set_unusable_password()
        user.save(update_fields=["password"])
    return user


def sites_visible(user: User) -> models.QuerySet[Site]:
    if user.is_superuser or user.sees_all_sites:
        return Site.objects.all()
    return user.sites.all()


def may(user: User, permission: str) -> bool:
    return user.is_shell or user.has_perm(permission)


def require(user: User, permission: str, *, site: Site | None = None) -> None:
    """Refuse, with a sentence, what `user` may not do.

    Raises
    ------
    PermissionDenied
        Without the permission, or when `site` is not one of the user's.
    """
    if not may(user, permission):
        raise PermissionDenied("Your role does not include this.")
    if site is not None and not sites_visible(user).filter(pk=site.pk).exists():
        raise PermissionDenied(f"You do not work at {site}.")
