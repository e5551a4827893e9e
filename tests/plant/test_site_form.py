"""What the administrator types for a site: slips are refused."""

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
