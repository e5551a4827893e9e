"""What each role gets at the addresses of energy, wear and acceptance points."""

from tests.pages.permission_row import ALL, OWN_SITE, Row

ENGINEERS_OWN = "302 403 200 403 200 403"
ENGINEERS_OWN_DONE = "302 403 302 403 302 403"
POINT_TYPED = {
    "flow_m3_h": "60",
    "head_m": "40",
    "shaft_power_kw": "10",
    "density_kg_m3": "998",
}
ENERGY_ROWS = [
    Row("analytics:energy", ALL),
    Row("analytics:energy_export", ALL),
    Row("analytics:energy_position", OWN_SITE, of="position"),
    Row("analytics:energy_rounds_export", OWN_SITE, of="position"),
    Row(
        "plant:acceptance_point_new",
        ENGINEERS_OWN,
        ENGINEERS_OWN_DONE,
        "pump_in_store",
        POINT_TYPED,
    ),
    Row(
        "plant:acceptance_point_edit",
        ENGINEERS_OWN,
        ENGINEERS_OWN_DONE,
        "acceptance_point",
        POINT_TYPED,
    ),
    Row(
        "plant:acceptance_point_remove",
        ENGINEERS_OWN,
        ENGINEERS_OWN_DONE,
        "acceptance_point",
    ),
]
