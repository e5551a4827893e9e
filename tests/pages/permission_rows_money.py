"""What each role gets at the addresses of rates of exchange and price levels."""

from tests.pages.permission_row import ADMINISTRATION, ADMINISTRATION_DONE, ALL, Row

RATES = {"currency": "USD", "into": "EUR", "figures": "2019 0.9", "source": "Bank"}
LEVELS = {"currency": "EUR", "figures": "2019 97.1", "source": "Index of prices"}
REASON = {"reason": "Typed wrongly"}
MONEY_ROWS = [
    Row("analytics:budget", ALL),
    Row("analytics:budget_export", ALL),
    Row("records:money_tables", ALL),
    Row("records:money_tables_export", ALL),
    Row("records:exchange_rates_new", ADMINISTRATION, ADMINISTRATION_DONE, data=RATES),
    Row("records:price_levels_new", ADMINISTRATION, ADMINISTRATION_DONE, data=LEVELS),
    Row(
        "records:exchange_rate_remove",
        ADMINISTRATION,
        ADMINISTRATION_DONE,
        of="exchange_rate",
        data=REASON,
    ),
    Row(
        "records:price_level_remove",
        ADMINISTRATION,
        ADMINISTRATION_DONE,
        of="price_level",
        data=REASON,
    ),
]
