"""What the administrator types for a site: slips are refused."""

from decimal import Decimal

import pytest
from django.urls import reverse

from plant.models import Site


def site_typed(**changes):
    return {
        "name": "New works",
        "time_zone": "Europe/Amsterdam",
        "currency": "EUR",
        "rework_window_days": 90,
        **changes,
    }


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"currency": "E1"}, "Give three letters"),
        ({"currency": "€€€"}, "Give three letters"),
        ({"time_zone": "EST"}, "Give a region and a city"),
        ({"records_from": "0026-11-20"}, "A year from 1900 to 2100"),
        ({"records_from": "9999-12-31"}, "A year from 1900 to 2100"),
        ({"energy_price_per_kwh": "-0.1"}, "greater than or equal to 0"),
        ({"discount_rate": "8"}, "Give a share: 0.08 is 8 % a year."),
        ({"discount_rate": "1"}, "Give a share: 0.08 is 8 % a year."),
        ({"discount_rate": "eight"}, "Enter a number."),
    ],
)
def test_a_site_with_a_slip_is_refused(administrator_client, changes, said):
    url = reverse("admin:plant_site_add")
    assert said in administrator_client.post(url, site_typed(**changes)).text
    assert not Site.objects.exists()


def test_a_currency_is_kept_in_capitals(administrator_client):
    url = reverse("admin:plant_site_add")
    administrator_client.post(url, site_typed(currency="usd", time_zone="UTC"))
    assert Site.objects.get().currency == "USD"


def test_price_and_rate_are_kept_with_a_decimal_comma_or_left_open(
    administrator_client,
):
    url = reverse("admin:plant_site_add")
    typed = {"energy_price_per_kwh": "0,1425", "discount_rate": "0.07"}
    administrator_client.post(url, site_typed(**typed))
    site = Site.objects.get()
    assert (site.energy_price_per_kwh, site.discount_rate) == (
        Decimal("0.1425"),
        Decimal("0.07"),
    )
    administrator_client.post(url, site_typed(name="Other works"))
    assert Site.objects.get(name="Other works").energy_price_per_kwh is None
