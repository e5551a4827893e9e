"""The administration wears our face: one log-in, our words, our tables only."""

from datetime import date

import pytest
from django.urls import reverse

from tests.conftest import logged_in
from tests.factories.plant import SiteFactory, UserFactory


@pytest.mark.parametrize("name", ["planner", "reliability engineer", "manager"])
def test_other_roles_are_refused_on_our_own_page(db, name):
    response = logged_in(UserFactory(role=name)).get(reverse("admin:index"))
    assert response.status_code == 403
    assert "An administrator can change roles and sites." in response.text


def test_who_is_logged_out_comes_to_the_one_log_in_page(client):
    for name in ("admin:index", "admin:login", "admin:plant_user_changelist"):
        response = client.get(reverse(name), follow=True)
        last, _ = response.redirect_chain[-1]
        assert last.startswith(reverse("login") + "?next=/administration/")


def test_even_a_superuser_is_offered_our_own_tables_only(db):
    client = logged_in(UserFactory(is_superuser=True, is_staff=True))
    response = client.get(reverse("admin:index"))
    kept = [cells[0]["text"] for cells in response.context["rows"]]
    assert kept == ["Areas", "Sites", "People", "Counting rules"]
    assert "Recent actions" not in response.text
    assert "View site" not in response.text
    assert client.get("/administration/plant/").url == reverse("admin:index")


def test_dates_are_written_year_month_day(administrator_client):
    site = SiteFactory(records_from=date(2020, 3, 1))
    listed = administrator_client.get(reverse("admin:plant_site_changelist")).text
    form = administrator_client.get(
        reverse("admin:plant_site_change", args=[site.pk])
    ).text
    assert "2020-03-01" in listed
    assert 'type="date" name="records_from" value="2020-03-01"' in form.replace(
        'name="records_from" type="date"', 'type="date" name="records_from"'
    )
