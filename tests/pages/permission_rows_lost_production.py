"""What each role gets at the addresses of lost production."""

from tests.pages.permission_row import ALL, OWN_SITE, Row

LOST_PRODUCTION_ROWS = [
    Row("analytics:lost_production", ALL),
    Row("analytics:lost_production_export", ALL),
    Row("analytics:repair_lost_production", OWN_SITE, of="repair"),
]
