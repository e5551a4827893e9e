"""The demo's rates and price levels cover every year its history touches."""

from datetime import date
from decimal import Decimal

import pytest

from plant.access import shell_user
from records.demo.money import money_tables_store
from records.selectors.money_tables import exchange_rates, price_levels


@pytest.mark.django_db
def test_seven_years_of_rates_and_levels_end_with_the_history():
    money_tables_store(shell_user(), date(2026, 11, 30))
    levels = price_levels()
    assert [year for _currency, year in levels] == list(range(2026, 2019, -1))
    assert levels["EUR", 2020] == 100
    # 100 x 1.019, to a tenth
    assert levels["EUR", 2021] == Decimal("101.9")
    assert exchange_rates()[2026, "USD", "EUR"] == Decimal("0.89")
