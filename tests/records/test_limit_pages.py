"""Limits of a site: listed with their source, changed by those who may."""

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.urls import reverse

from records.check_choices import CheckKind
from records.models import CheckLimit
from records.services.check_limits import check_limit_remove, check_limit_set
from tests.conftest import logged_in
from tests.factories.plant import SiteFactory, UserFactory

LIST = "records:limit_list"
FACTS = {"kind": CheckKind.END_PLAY, "high": 0.13, "source": "Seal drawing 14"}


@pytest.fixture
def site(db):
    return SiteFactory(name="Marsh works")


@pytest.fixture
def limit(site, engineer):
    return check_limit_set(by=engineer, site=site, design="end suction", **FACTS)


def typed(site, **facts):
    return {
        "site": site.pk,
        "kind": "end play",
        "high": "0,13",
        "source": "Seal drawing 14",
        "certainty": "site",
        **facts,
    }


def test_everybody_reads_what_holds_and_where_it_comes_from(limit, manager_client):
    page = manager_client.get(reverse(LIST)).content.decode()
    assert "at most 0.1 mm" in page
    assert "Default, from memory" in page
    assert "Seal drawing 14" in page
    assert "Marsh works, end suction, any size" in page
    assert "Add a limit" not in page


def test_an_engineer_adds_a_limit_with_a_decimal_comma(site, engineer_client):
    url = reverse("records:limit_new")
    assert engineer_client.post(url, typed(site)).status_code == 302
    row = CheckLimit.objects.get()
    assert (row.high, row.low, row.certainty) == (0.13, None, "site")


def test_a_change_is_kept_in_the_list_of_changes(site, limit, engineer_client):
    url = reverse("records:limit_edit", args=[limit.pk])
    engineer_client.post(url, typed(site, design="end suction", high="0.08"))
    page = engineer_client.get(reverse(LIST))
    changes = [row[2]["text"] for row in page.context["changes"]]
    assert changes == ["Changed", "Added"]
    assert CheckLimit.objects.get().high == 0.08


def test_a_removed_limit_leaves_its_reason(limit, engineer_client):
    url = reverse("records:limit_remove", args=[limit.pk])
    assert engineer_client.post(url, {}).status_code == 200
    assert engineer_client.post(url, {"reason": "Drawing withdrawn"}).status_code == 302
    assert not CheckLimit.objects.exists()
    page = engineer_client.get(reverse(LIST))
    assert page.context["changes"][0][2]["text"] == "Removed: Drawing withdrawn"


@pytest.mark.parametrize(
    ("facts", "field"),
    [
        ({"high": None}, "high"),
        ({"low": 0.2, "high": 0.1}, "low"),
        ({"source": " "}, "source"),
        ({"design": "End Suction"}, "kind"),
        ({"kind": "colour"}, "kind"),
    ],
)
def test_a_limit_that_cannot_be_is_refused(site, limit, engineer, facts, field):
    with pytest.raises(ValidationError) as error:
        check_limit_set(by=engineer, site=site, **{**FACTS, **facts})
    assert field in error.value.error_dict


def test_a_planner_changes_no_limit(site, limit, planner):
    with pytest.raises(PermissionDenied):
        check_limit_set(by=planner, site=site, **FACTS)
    with pytest.raises(PermissionDenied):
        check_limit_remove(by=planner, limit=limit, reason="No")


def test_an_engineer_of_another_site_neither_sees_nor_changes_it(limit):
    stranger = UserFactory(role="reliability engineer", sees_all_sites=False)
    stranger.sites.add(SiteFactory())
    client = logged_in(stranger)
    assert "Seal drawing 14" not in client.get(reverse(LIST)).content.decode()
    url = reverse("records:limit_edit", args=[limit.pk])
    assert client.get(url).status_code == 404
    with pytest.raises(PermissionDenied):
        check_limit_remove(by=stranger, limit=limit, reason="No")


def test_the_export_holds_the_rows_of_the_filter(limit, manager_client):
    answer = manager_client.get(reverse("records:limit_export"), {"kind": "end play"})
    lines = b"".join(answer.streaming_content).decode().splitlines()
    assert len(lines) == 3
    assert "Seal drawing 14" in lines[2]


def test_the_list_takes_as_many_queries_for_many_limits(
    site, limit, engineer, manager_client, django_assert_max_num_queries
):
    with django_assert_max_num_queries(12) as few:
        manager_client.get(reverse(LIST))
    for number in range(4):
        check_limit_set(by=engineer, site=site, size=f"S{number}", **FACTS)
    with django_assert_max_num_queries(len(few)):
        manager_client.get(reverse(LIST))
