"""Who gets what answer at which address: one line an address.

A new page needs one `Row` here; test_permission_matrix.py fails until it has one and
names it. permission_row.py says how a line is read.
"""

from tests.pages.permission_row import (
    ALL,
    ENGINEER,
    ENGINEER_DONE,
    IMPORTERS,
    IMPORTERS_DONE,
    LOGGERS,
    LOGGERS_DONE,
    MANAGERS_OWN,
    OPEN,
    OWN_SITE,
    POST_ONLY,
    REGISTER,
    REGISTER_DONE,
    ROLES,
    Row,
)
from tests.pages.permission_rows_actions import ACTION_ROWS
from tests.pages.permission_rows_administration import ADMINISTRATION_ROWS, LOG_IN
from tests.pages.permission_rows_energy import ENERGY_ROWS
from tests.pages.permission_rows_lost_production import LOST_PRODUCTION_ROWS
from tests.pages.permission_rows_money import MONEY_ROWS
from tests.pages.permission_rows_reviews import REVIEW_ROWS
from tests.pages.permission_rows_tablet import TABLET_ROWS
from tests.pages.permission_rows_upgrades import UPGRADE_ROWS

__all__ = ["ROLES", "ROWS", "Row"]

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
    Row("plant:position_tags", ALL),
    Row("plant:position_tags_file", "302 200 200 200 200 302"),
    Row("plant:pump_tags", ALL),
    Row("plant:pump_tags_file", "302 200 200 200 200 302"),
    Row("plant:position_tag", OWN_SITE, of={"code": "position_code"}),
    Row("plant:pump_tag", OWN_SITE, of={"code": "pump_code"}),
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
READING_TYPED = {
    "read_at": "2024-06-01T12:00",
    "running_state": "running",
    "flow": "42,5",
}
METER_TYPED = {"read_at": "2024-06-01T12:00", "meter_hours": "12000"}
AT_POSITION = {"position": "position.pk"}
COST_LINE = {"pk": "repair", "line_pk": "cost_line"}
LIMIT_TYPED = {
    "site": "site.pk",
    "kind": "lift test",
    "high": "0,04",
    "source": "Drawing 7",
    "certainty": "site",
}

REPAIR_ROWS = [
    Row("records:repair_list", ALL),
    Row("records:repair_export", ALL),
    Row("records:repair_detail", OWN_SITE, of="repair"),
    Row("records:position_repairs", OWN_SITE, of="position"),
    Row("records:pump_repairs", OWN_SITE, of="pump"),
    Row("records:repair_find", "302 200 200 403 403 200"),
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
    Row(
        "records:repair_checks",
        LOGGERS,
        LOGGERS_DONE,
        "repair",
        {"version": 0, "lift-test-left-entered_value": "0,02"},
    ),
    Row(
        "records:repair_findings",
        LOGGERS,
        LOGGERS_DONE,
        "repair",
        {"version": "draft.version", "seen-coke": "on"},
    ),
    Row("records:limit_list", ALL),
    Row("records:limit_export", ALL),
    Row("records:limit_new", REGISTER, REGISTER_DONE, data=LIMIT_TYPED),
    Row("records:limit_edit", REGISTER, REGISTER_DONE, "limit", LIMIT_TYPED),
    Row(
        "records:limit_remove",
        REGISTER,
        REGISTER_DONE,
        "limit",
        {"reason": "Drawing withdrawn"},
    ),
    Row("records:cost_new", LOGGERS, LOGGERS_DONE, "repair", COST_TYPED),
    Row("records:cost_replace", LOGGERS, LOGGERS_DONE, COST_LINE, COST_TYPED),
    Row("records:hours", OWN_SITE, LOGGERS_DONE, "position", METER_TYPED),
    Row("records:data_quality", ALL),
    Row("records:data_quality_rows", ALL, of={"key": "=mode"}),
    Row("records:readings", OWN_SITE, of="position"),
    Row("records:readings_export", OWN_SITE, of="position"),
    Row("records:readings_new", LOGGERS, LOGGERS_DONE, "position", READING_TYPED),
    Row(
        "records:reading_strike",
        LOGGERS,
        LOGGERS_DONE,
        "reading",
        {"reason": "Read on the wrong pump"},
    ),
    Row(
        "records:warning_level",
        "302 403 200 403 200 404",
        "302 403 302 403 302 404",
        "position",
        {"quantity": "flow", "warn_below": "12"},
    ),
    Row("analytics:position_readings", OWN_SITE, of="position"),
    Row("records:cautions", ALL),
    Row("records:tablet", "302 200 200 403 403 200"),
    Row("records:tablet_worker", OPEN),
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
    Row("analytics:fleet_likely", ALL),
    Row("analytics:fleet_likely_export", ALL),
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
    Row("analytics:story", OWN_SITE, of="position"),
    Row("analytics:pump_story", OWN_SITE, of="pump"),
    Row("analytics:bad_actors", ALL),
    Row("analytics:bad_actors_export", ALL),
    Row("analytics:costs", ALL),
    Row("analytics:costs_export", ALL),
    Row("analytics:cost_lines_export", ALL, "302 302 302 302 302 302"),
    Row("analytics:costs_pdf", ALL, "302 302 302 302 302 302"),
    Row("analytics:costs_workbook", ALL, "302 302 302 302 302 302"),
    Row("analytics:costs_workbook_job", MANAGERS_OWN, of="job_of_manager"),
    Row("analytics:costs_workbook_file", MANAGERS_OWN, of="job_of_manager"),
]

PEOPLE_ROWS = [
    Row("health", OPEN),
    Row("login", OPEN, OPEN, data=LOG_IN),
    Row("logout", "302 405 405 405 405 405", "302 302 302 302 302 302"),
    Row("password_change", ALL, ALL),
    Row("password_change_done", ALL),
]

ROWS = [
    *REGISTER_ROWS,
    *REPAIR_ROWS,
    *REVIEW_ROWS,
    *ACTION_ROWS,
    *TABLET_ROWS,
    *IMPORT_ROWS,
    *STATISTICS_ROWS,
    *ENERGY_ROWS,
    *LOST_PRODUCTION_ROWS,
    *MONEY_ROWS,
    *UPGRADE_ROWS,
    *PEOPLE_ROWS,
    *ADMINISTRATION_ROWS,
]
