"""Acceptance points on a pump's page: kept by the engineer, refused in sentences."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.urls import reverse

from plant.models import AcceptancePoint
from plant.services.acceptance_points import (
    acceptance_point_add,
    acceptance_point_change,
    acceptance_point_remove,
)
from tests.conftest import logged_in
from tests.factories.energy import AcceptancePointFactory
from tests.factories.plant import PumpFactory, SiteFactory, UserFactory

TYPED = {
    "flow_m3_h": "60",
    "head_m": "42,5",
    "shaft_power_kw": "11.2",
    "density_kg_m3": "998",
    "measured_on": "2020-03-04",
    "source": "Acceptance test",
}


def test_an_engineer_enters_a_point_and_sees_its_efficiency(engineer_client):
    pump = PumpFactory()
    url = reverse("plant:acceptance_point_new", args=[pump.pk])
    answer = engineer_client.post(url, TYPED)
    assert answer.url == pump.get_absolute_url()
    point = AcceptancePoint.objects.get()
    assert (point.pump, point.head_m, point.measured_on) == (
        pump,
        42.5,
        date(2020, 3, 4),
    )
    # 998 x 9.80665 x 60 / 3600 x 42.5 / 1000 = 6.9324 kW, of 11.2 kW
    assert "61.9\u00a0%" in engineer_client.get(pump.get_absolute_url()).text


@pytest.mark.parametrize(
    ("changes", "field", "said"),
    [
        ({"head_m": "0"}, "head_m", "greater than or equal to 1e-06"),
        ({"head_m": "a lot"}, "head_m", "Enter a number."),
        ({"shaft_power_kw": "5"}, "shaft_power_kw", "The liquid would take 6.93 kW"),
        ({"measured_on": "2099-01-01"}, "measured_on", "That day is still to come."),
        ({"density_kg_m3": ""}, "density_kg_m3", "This field is required."),
    ],
)
def test_a_point_that_no_test_gives_is_refused(engineer_client, changes, field, said):
    url = reverse("plant:acceptance_point_new", args=[PumpFactory().pk])
    answer = engineer_client.post(url, {**TYPED, **changes})
    assert said in " ".join(answer.context["form"].errors[field])
    assert not AcceptancePoint.objects.exists()


def test_a_flow_has_one_point(engineer):
    point = AcceptancePointFactory(flow_m3_h=60)
    with pytest.raises(ValidationError, match="At 60 m³/h this pump has a point"):
        acceptance_point_add(
            by=engineer, pump=point.pump, flow_m3_h=60.0, head_m=1, shaft_power_kw=9
        )


def test_a_change_and_a_removal_stay_in_the_history(engineer, engineer_client):
    point = AcceptancePointFactory(head_m=40)
    acceptance_point_change(by=engineer, point=point, head_m=41.0)
    point.refresh_from_db()
    assert point.head_m == 41
    page = engineer_client.get(
        reverse("plant:acceptance_point_remove", args=[point.pk])
    )
    assert "60\u00a0m³/h, 41\u00a0m, 10\u00a0kW" in page.text
    engineer_client.post(reverse("plant:acceptance_point_remove", args=[point.pk]))
    assert not AcceptancePoint.objects.exists()
    kinds = AcceptancePoint.history.order_by("history_id").values_list(
        "history_type", "head_m", "history_user__username"
    )
    assert list(kinds)[1:] == [("~", 41.0, "engineer"), ("-", 41.0, "engineer")]


def test_the_form_starts_from_what_stands(engineer_client):
    point = AcceptancePointFactory(source="Curve sheet 4")
    form = engineer_client.get(
        reverse("plant:acceptance_point_edit", args=[point.pk])
    ).context["form"]
    assert (form["flow_m3_h"].value(), form["source"].value()) == (60, "Curve sheet 4")


def test_others_may_not_change_a_point(planner):
    point = AcceptancePointFactory()
    with pytest.raises(PermissionDenied):
        acceptance_point_remove(by=planner, point=point)
    elsewhere = UserFactory(role="reliability engineer", sees_all_sites=False)
    elsewhere.sites.add(SiteFactory())
    with pytest.raises(PermissionDenied, match="You do not work at"):
        acceptance_point_change(by=elsewhere, point=point, head_m=1.0)
    browser = logged_in(elsewhere)
    for name in ("acceptance_point_edit", "acceptance_point_remove"):
        assert browser.get(reverse(f"plant:{name}", args=[point.pk])).status_code == 404
    new = reverse("plant:acceptance_point_new", args=[point.pump.pk])
    assert browser.get(new).status_code == 404
    assert AcceptancePoint.objects.count() == 1


def test_without_a_point_the_page_says_against_what_wear_is_judged(planner_client):
    pump = PumpFactory()
    text = planner_client.get(pump.get_absolute_url()).text
    assert "efficiency is judged against the rated duty of the position" in text
    assert "Add an acceptance point" not in text
