"""People who log in: they belong to sites and roles."""

from django.contrib.auth.models import AbstractUser
from django.db import models

SHELL_USERNAME = "command-line"


class User(AbstractUser):
    """A person, with the sites they may see; roles are groups."""

    sees_all_sites = models.BooleanField(
        default=False, help_text="May see every site, also those added later."
    )
    sites = models.ManyToManyField("plant.Site", blank=True, related_name="people")

    class Meta(AbstractUser.Meta):
        permissions = [("administer_site", "Can keep sites, people and limits")]

    @property
    def is_shell(self) -> bool:
        """Whether this row stands for work done at the server's command line."""
        return self.username == SHELL_USERNAME and not self.has_usable_password()
