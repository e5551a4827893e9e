"""What the project itself sets up once all apps are loaded."""

from django.apps import apps
from django.contrib import admin
from django.contrib.admin.apps import AdminConfig
from django.core.checks import Tags, register

from config.checks import static_files_check

OWN_APPS = ("plant", "records", "analytics")


class AdministrationConfig(AdminConfig):
    """Django's administration on our own site, and the checks before a start."""

    default_site = "config.administration.AdministrationSite"

    def ready(self) -> None:
        super().ready()
        # Other apps offer their own tables, which nobody keeps by hand.
        for model in apps.get_models():
            is_own = model._meta.app_label in OWN_APPS
            if admin.site.is_registered(model) and not is_own:
                admin.site.unregister(model)
        register(static_files_check, Tags.staticfiles, deploy=True)
