"""What each role gets at the addresses of the administration."""

from tests.pages.permission_row import ADMINISTRATION, ADMINISTRATION_DONE, Row

LOG_IN = {"username": "ada", "password": "wrong"}
ADMINISTRATION_ROWS = [
    Row("admin:index", ADMINISTRATION, ADMINISTRATION),
    Row("admin:login", ADMINISTRATION_DONE, ADMINISTRATION_DONE, data=LOG_IN),
    Row("admin:plant_user_changelist", ADMINISTRATION, ADMINISTRATION),
    Row("admin:plant_user_add", ADMINISTRATION, ADMINISTRATION),
    Row("admin:plant_site_changelist", ADMINISTRATION, ADMINISTRATION),
    Row("admin:plant_site_add", ADMINISTRATION, ADMINISTRATION),
    Row("admin:plant_area_changelist", ADMINISTRATION, ADMINISTRATION),
    Row(
        "admin:plant_area_add",
        ADMINISTRATION,
        ADMINISTRATION_DONE,
        data={"site": "site.pk", "name": "New unit"},
    ),
    Row("admin:records_countingrule_changelist", ADMINISTRATION, ADMINISTRATION),
    Row(
        "admin:records_countingrule_add",
        ADMINISTRATION,
        ADMINISTRATION_DONE,
        data={
            "site": "site.pk",
            "repair_categories": ["corrective"],
            "failure_categories": ["corrective"],
        },
    ),
]
