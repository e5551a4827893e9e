"""The repair log; imports the asset register."""

from django.apps import AppConfig


class RecordsConfig(AppConfig):
    name = "records"
    role_permissions = {
        "fitter": ["records.log_repair"],
        "planner": ["records.log_repair", "records.see_costs"],
        "reliability engineer": [
            "records.log_repair",
            "records.correct_repair",
            "records.void_repair",
            "records.see_costs",
            "records.change_limits",
            "records.decide_action",
            "records.plan_upgrade",
        ],
        "manager": ["records.see_costs", "records.plan_upgrade"],
        "administrator": [
            "records.import_fleet",
            "records.see_costs",
            "records.change_limits",
            "records.keep_money_tables",
            "records.view_countingrule",
            "records.add_countingrule",
        ],
    }
