"""Who gets what answer at which address: one line an address.

A new page needs one `Row` here; test_permission_matrix.py fails until it has one and
names it. The six answers stand in the order of ROLES. `of` names the row of
permission_world.py that the address is about; an address with several such parts names
each, `{"pk": "repair", "line_pk": "cost_line"}`, and `=stopped` is that very word.
`data` is the smallest form that shows whether a POST is taken or refused; `query`
follows the address. Without `post` the address takes none.
"""

from dataclasses import dataclass, field

ROLES = (
    "logged out",
    "planner",
    "engineer",
    "manager",
    "administrator",
    "planner of another site",
)

ALL = "302 200 200 200 200 200"
OWN_SITE = "302 200 200 200 200 404"
OPEN = "200 200 200 200 200 200"
REGISTER = "302 403 200 403 200 403"
REGISTER_DONE = "302 403 302 403 302 403"
LOGGERS = "302 200 200 403 403 404"
LOGGERS_DONE = "302 302 302 403 403 404"
ENGINEER = "302 403 200 403 403 403"
ENGINEER_DONE = "302 403 302 403 403 403"
POST_ONLY = "302 405 405 405 405 405"
IMPORTERS = "302 403 403 403 200 403"
IMPORTERS_DONE = "302 403 403 403 302 403"
MANAGERS_OWN = "302 404 404 200 404 404"
ADMINISTRATION = "302 403 403 403 200 403"
ADMINISTRATION_DONE = "302 403 403 403 302 403"


@dataclass(frozen=True, slots=True)
class Row:
    """What each role gets at one address."""

    name: str
    get: str
    post: str = ""
    of: str | dict[str, str] = ""
    data: dict[str, object] = field(default_factory=dict)
    query: dict[str, object] = field(default_factory=dict)


POSITION_TYPED = {
    "area": "area.pk",
    "tag": "P-NEW",
    "criticality": "low",
    "sparing": "none",
}
PUMP_TYPED = {"site": "site.pk", "serial_number": "S-NEW", "assembly": "whole pump"}
MOVE_TYPED = {"destination": "store", "moved_at": "2024-06-01T12:00"}
PLACE_TYPED = {"pump": "pump_in_store.pk", "moved_at": "2024-06-01T12:00"}
DUTY_TYPED = {"starts_on": "2024-01-01", "running_percent": "50"}
OUT_TYPED = {"out_of_service_on": "2024-06-01"}
RETIRED_TYPED = {"retired_on": "2024-06-01"}

REGISTER_ROWS = [
    Row("plant:position_list", ALL),
    Row("plant:position_export", ALL),
    Row("plant:pump_list", ALL),
    Row("plant:pump_export", ALL),
    Row("plant:position_detail", OWN_SITE, of="position"),
    Row("plant:pump_detail", OWN_SITE, of="pump"),
    Row("plant:position_new", REGISTER, REGISTER_DONE, data=POSITION_TYPED),
    Row("plant:position_edit", REGISTER, REGISTER_DONE, "position", POSITION_TYPED),
    Row(
        "plant:position_out_of_service",
        REGISTER,
        REGISTER_DONE,
        "empty_position",
        OUT_TYPED,
    ),
    Row("plant:duty_period_set", REGISTER, REGISTER_DONE, "position", DUTY_TYPED),
    Row("plant:position_place", LOGGERS, LOGGERS_DONE, "position", PLACE_TYPED),
    Row("plant:pump_new", REGISTER, REGISTER_DONE, data=PUMP_TYPED),
    Row("plant:pump_edit", REGISTER, REGISTER_DONE, "pump", PUMP_TYPED),
    Row("plant:pump_move", LOGGERS, LOGGERS_DONE, "pump", MOVE_TYPED),
    Row("plant:pump_retire", REGISTER, REGISTER_DONE, "pump_in_store", RETIRED_TYPED),
]

NO_LINES = {
    f"{prefix}-{name}_FORMS": 0
    for prefix in ("swap", "added", "cost")
    for name in ("TOTAL", "INITIAL")
}
REPAIR_TYPED = {
    **NO_LINES,
    "reported_at": "2024-03-01T09:00",
    "category": "corrective",
    "failure_mode": "ELP",
    "activity": "1",
    "item": "mechanical seal",
    "save_anyway": "on",
    "action": "draft",
}
DRAFT_TYPED = {**REPAIR_TYPED, "version": "draft.version"}
CORRECTION_TYPED = {
    **REPAIR_TYPED,
    "version": "signed.version",
    "reason": "The cause came late",
    "as_is": "failed:mechanical seal",
}
COST_TYPED = {"kind": "parts", "amount": "10", "currency": "EUR", "status": "booked"}
METER_TYPED = {"read_at": "2024-06-01T12:00", "meter_hours": "12000"}
AT_POSITION = {"position": "position.pk"}
COST_LINE = {"pk": "repair", "line_pk": "cost_line"}

REPAIR_ROWS = [
    Row("records:repair_list", ALL),
    Row("records:repair_export", ALL),
    Row("records:repair_detail", OWN_SITE, of="repair"),
    Row("records:position_repairs", OWN_SITE, of="position"),
    Row("records:pump_repairs", OWN_SITE, of="pump"),
    Row(
        "records:repair_new",
        LOGGERS,
        LOGGERS_DONE,
        data=REPAIR_TYPED,
        query=AT_POSITION,
    ),
    Row("records:repair_edit", LOGGERS, LOGGERS_DONE, "repair", DRAFT_TYPED),
    Row(
        "records:repair_correct",
        ENGINEER,
        ENGINEER_DONE,
        "signed_repair",
        CORRECTION_TYPED,
    ),
    Row(
        "records:repair_sign",
        LOGGERS,
        LOGGERS_DONE,
        "repair",
        {"version": "draft.version"},
    ),
    Row(
        "records:repair_void",
        ENGINEER,
        ENGINEER_DONE,
        "signed_repair",
        {"reason": "Entered twice"},
    ),
    Row(
        "records:repair_drop",
        "302 403 200 403 403 404",
        "302 403 302 403 403 404",
        "repair",
        {"reason": "Stored too early"},
    ),
    Row("records:cost_new", LOGGERS, LOGGERS_DONE, "repair", COST_TYPED),
    Row("records:cost_replace", LOGGERS, LOGGERS_DONE, COST_LINE, COST_TYPED),
    Row("records:hours", OWN_SITE, LOGGERS_DONE, "position", METER_TYPED),
    Row("records:cautions", ALL),
]

IMPORT_ROWS = [
    Row("records:import_list", IMPORTERS),
    Row("records:import_export", IMPORTERS),
    Row("records:import_columns", IMPORTERS),
    Row("records:import_template", IMPORTERS, of={"kind": "=xlsx"}),
    Row("records:import_new", POST_ONLY, "302 403 403 403 422 403"),
    Row("records:import_detail", IMPORTERS, of="import"),
    Row("records:import_progress", IMPORTERS, of="import"),
    Row("records:import_faults", IMPORTERS, of="import"),
    Row("records:import_store", POST_ONLY, IMPORTERS_DONE, "import"),
    Row("records:import_forget", POST_ONLY, IMPORTERS_DONE, "import"),
]

A_LIST = {"kind": "=stopped"}
STATISTICS_ROWS = [
    Row("analytics:fleet", ALL),
    Row("analytics:fleet_rows", ALL, of=A_LIST),
    Row("analytics:fleet_rows_export", ALL, of=A_LIST),
    Row("analytics:mtbr", ALL),
    Row("analytics:mtbr_export", ALL),
    Row("analytics:position_mtbr", OWN_SITE, of="position"),
    Row("analytics:trend", ALL),
    Row("analytics:trend_export", ALL),
    Row("analytics:trend_results", ALL),
    Row("analytics:position_trend", OWN_SITE, of="position"),
    Row("analytics:life", ALL),
    Row("analytics:life_sample", ALL),
    Row("analytics:life_results", ALL),
    Row("analytics:life_drivers", ALL),
    Row("analytics:life_drivers_export", ALL),
    Row("analytics:life_distributions", ALL),
    Row("analytics:life_distributions_export", ALL),
    Row("analytics:life_comparison", ALL),
    Row("analytics:life_comparison_export", ALL),
    Row("analytics:life_replacement", ALL),
    Row("analytics:life_replacement_export", ALL),
    Row("analytics:life_forecast", ALL),
    Row("analytics:life_forecast_export", ALL),
    Row("analytics:life_rating", ALL),
    Row("analytics:life_rating_export", ALL),
    Row("analytics:life_methods", ALL),
    Row("analytics:pump_lives", OWN_SITE, of="pump"),
    Row("analytics:bad_actors", ALL),
    Row("analytics:bad_actors_export", ALL),
    Row("analytics:costs", ALL),
    Row("analytics:costs_export", ALL),
    Row("analytics:cost_lines_export", ALL),
    Row("analytics:costs_workbook", ALL, "302 302 302 302 302 302"),
    Row("analytics:costs_workbook_job", MANAGERS_OWN, of="job_of_manager"),
    Row("analytics:costs_workbook_file", MANAGERS_OWN, of="job_of_manager"),
]

LOG_IN = {"username": "ada", "password": "wrong"}
PEOPLE_ROWS = [
    Row("health", OPEN),
    Row("login", OPEN, OPEN, data=LOG_IN),
    Row("logout", "302 405 405 405 405 405", "302 302 302 302 302 302"),
    Row("password_change", ALL, ALL),
    Row("password_change_done", ALL),
]

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

ROWS = [
    *REGISTER_ROWS,
    *REPAIR_ROWS,
    *IMPORT_ROWS,
    *STATISTICS_ROWS,
    *PEOPLE_ROWS,
    *ADMINISTRATION_ROWS,
]
