"""The repair log; imports the asset register."""

from django.apps import AppConfig


class RecordsConfig(AppConfig):
    name = "records"
    role_permissions = {
        "planner": ["records.log_repair", "records.see_costs"],
        "reliability engineer": [
            "records.log_repair",
            "records.correct_repair",
            "records.void_repair",
            "records.see_costs",
        ],
        "manager": ["records.see_costs"],
        "administrator": [
            "records.import_fleet",
            "records.see_costs",
            "records.view_countingrule",
            "records.add_countingrule",
        ],
    }
