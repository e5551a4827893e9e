"""Rates and price levels: typed by the year, changed with a trace, read by few."""

from decimal import Decimal

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.urls import reverse

from records.models import ExchangeRate, PriceLevel
from records.selectors.money_tables import (
    currencies_told_in,
    exchange_rates,
    price_levels,
    years_with_levels,
)
from records.services.money_tables import (
    exchange_rates_set,
    money_figure_remove,
    price_levels_set,
)

LIST = "records:money_tables"
RATES = {"currency": "usd", "into": "eur", "source": "Treasury, yearly means"}
LEVELS = {"currency": "EUR", "source": "Producer prices, machinery"}


def typed(figures, **facts):
    return {**RATES, "figures": figures, **facts}


@pytest.fixture
def rates(administrator):
    return exchange_rates_set(
        by=administrator,
        rates={2023: Decimal("0.9248"), 2024: Decimal("0.9239")},
        **RATES,
    )


@pytest.mark.django_db
def test_rates_are_typed_a_line_a_year_with_point_or_comma(administrator_client):
    url = reverse("records:exchange_rates_new")
    sent = administrator_client.post(url, typed("2023 0.9248\n\n2024;0,9239"))
    assert sent.status_code == 302
    assert exchange_rates() == {
        (2023, "USD", "EUR"): Decimal("0.9248"),
        (2024, "USD", "EUR"): Decimal("0.9239"),
    }
    assert currencies_told_in() == ["EUR", "USD"]


@pytest.mark.django_db
def test_three_decimals_are_decimals_and_no_thousands(administrator_client):
    url = reverse("records:exchange_rates_new")
    administrator_client.post(url, typed("2024 1.082"))
    assert ExchangeRate.objects.get().rate == Decimal("1.082")


def test_a_year_sent_again_is_changed_and_keeps_its_trace(rates, administrator_client):
    url = reverse("records:exchange_rates_new")
    administrator_client.post(url, typed("2024 0.93"))
    assert exchange_rates()[2024, "USD", "EUR"] == Decimal("0.93")
    page = administrator_client.get(reverse(LIST))
    newest = [cell["text"] for cell in page.context["changes"][0][2:5]]
    assert newest == ["Changed", "USD in EUR, 2024", "0.93"]
    assert len(page.context["changes"]) == 3


def test_sending_the_same_again_leaves_no_trace(rates, administrator):
    exchange_rates_set(by=administrator, rates={2024: Decimal("0.9239")}, **RATES)
    assert ExchangeRate.history.count() == 2


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("figures", "words"),
    [
        ("2024", "Line 1, 2024: Write a year and a number"),
        ("2024 1.0\n2024 1.1", "2024 stands twice."),
        ("2024 0", "Give a number above zero."),
        ("2024 -1", "Give a number above zero."),
        ("2024 NaN", "Give a number above zero."),
        ("2024 1,000.5", "Write a year and a number"),
        ("1066 1.1", "Give a year from 1950 to 2100."),
        ("year rate", "Write a year and a number"),
        ("2024 1e30", "2024:"),
        ("2024 0.000000001", "2024:"),
        ("\n".join(["2024 1"] * 201), "at most 200 lines"),
        ("", "This field is required."),
    ],
)
def test_lines_that_mean_nothing_are_named_and_kept(
    administrator_client, figures, words
):
    url = reverse("records:exchange_rates_new")
    page = administrator_client.post(url, typed(figures))
    assert page.status_code == 200
    assert words in " ".join(page.context["form"].errors["figures"])
    assert page.context["form"]["figures"].value() == figures
    assert not ExchangeRate.objects.exists()


def test_one_bad_line_stores_none_of_the_lines(administrator_client, db):
    url = reverse("records:price_levels_new")
    administrator_client.post(url, {**LEVELS, "figures": "2023 104.2\n2024 104.25678"})
    assert not PriceLevel.objects.exists()


def test_a_rate_the_other_way_round_is_refused(rates, administrator):
    with pytest.raises(ValidationError, match="stands the other way round, USD in EUR"):
        exchange_rates_set(
            by=administrator,
            currency="EUR",
            into="USD",
            rates={2024: Decimal("1.08")},
            source="x",
        )


@pytest.mark.parametrize(
    ("facts", "field"),
    [
        ({"into": "USD"}, "into"),
        ({"currency": "US1"}, "currency"),
        ({"source": ""}, "source"),
    ],
)
def test_the_other_fields_are_refused_beside_themselves(
    administrator_client, db, facts, field
):
    url = reverse("records:exchange_rates_new")
    page = administrator_client.post(url, typed("2024 0.9", **facts))
    assert field in page.context["form"].errors


def test_levels_show_what_prices_did_against_the_year_before(
    administrator_client, administrator
):
    price_levels_set(
        by=administrator,
        levels={2021: Decimal(80), 2023: Decimal(100), 2024: Decimal("103.5")},
        **LEVELS,
    )
    assert years_with_levels() == [2024, 2023, 2021]
    assert price_levels()["EUR", 2024] == Decimal("103.5")
    rows = administrator_client.get(reverse(LIST)).context["levels"]
    assert [[row[1]["text"], row[3]["text"]] for row in rows] == [
        ["2024", "3.5\xa0%"],
        ["2023", "–"],
        ["2021", "–"],
    ]


def test_a_removed_rate_leaves_its_reason(rates, administrator_client):
    url = reverse("records:exchange_rate_remove", args=[rates[0].pk])
    assert administrator_client.post(url, {}).status_code == 200
    assert (
        administrator_client.post(url, {"reason": "Typed wrongly"}).status_code == 302
    )
    assert (2023, "USD", "EUR") not in exchange_rates()
    changes = administrator_client.get(reverse(LIST)).context["changes"]
    assert changes[0][2]["text"] == "Removed: Typed wrongly"


def test_a_manager_reads_and_cannot_keep(rates, manager_client, manager):
    page = manager_client.get(reverse(LIST)).content.decode()
    assert "USD in EUR" in page
    assert "Remove" not in page
    with pytest.raises(PermissionDenied):
        money_figure_remove(by=manager, figure=rates[0], reason="no")
    with pytest.raises(PermissionDenied):
        price_levels_set(by=manager, levels={2024: Decimal(1)}, **LEVELS)


def test_the_file_holds_both_tables(rates, administrator, manager_client):
    price_levels_set(by=administrator, levels={2024: Decimal("103.5")}, **LEVELS)
    url = reverse("records:money_tables_export")
    text = b"".join(manager_client.get(url).streaming_content).decode("utf-8-sig")
    assert text.splitlines()[1:] == [
        'rate of exchange,USD,EUR,2024,0.9239,"Treasury, yearly means"',
        'rate of exchange,USD,EUR,2023,0.9248,"Treasury, yearly means"',
        'price level,EUR,,2024,103.5,"Producer prices, machinery"',
    ]


def test_the_page_asks_the_same_number_of_queries_however_many_figures(
    rates, administrator, administrator_client, django_assert_max_num_queries
):
    levels = {year: Decimal(year) for year in range(1990, 2024)}
    price_levels_set(by=administrator, levels=levels, **LEVELS)
    with django_assert_max_num_queries(12):
        administrator_client.get(reverse(LIST))
