"""What a person may see: one rule for every table that belongs to a site."""

from typing import TYPE_CHECKING, Self, TypeVar

from django.db import models

if TYPE_CHECKING:
    from plant.models.user import User

Row = TypeVar("Row", bound=models.Model, covariant=True)


class VisibleQuerySet(models.QuerySet[Row]):
    """Rows of the sites that a user belongs to."""

    site_lookup = "site"

    def visible_to(self, user: "User") -> Self:
        if user.is_superuser or user.sees_all_sites:
            return self
        return self.filter(**{f"{self.site_lookup}__in": user.sites.all()})
