"""The asset register; the lowest of our apps."""

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class PlantConfig(AppConfig):
    name = "plant"
    role_permissions = {
        "fitter": [],
        "planner": [],
        "reliability engineer": ["plant.change_register"],
        "manager": [],
        "administrator": [
            "plant.change_register",
            "plant.administer_site",
            "plant.view_user",
            "plant.add_user",
            "plant.change_user",
            "plant.view_site",
            "plant.add_site",
            "plant.change_site",
            "plant.view_area",
            "plant.add_area",
            "plant.change_area",
        ],
    }

    def ready(self) -> None:
        from plant.access import roles_sync

        # Django makes permissions after migrating; the roles that hold them follow.
        post_migrate.connect(roles_sync, dispatch_uid="plant.roles_sync")
