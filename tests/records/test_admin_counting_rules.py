"""Counting rules in the administration: only added to, by who may."""

import pytest
from django.urls import reverse

from records.models import CountingRule
from records.services.counting_rules import counting_rule_set
from tests.conftest import logged_in
from tests.factories.plant import SiteFactory, UserFactory

ADD = "admin:records_countingrule_add"
LIST = "admin:records_countingrule_changelist"


def ticked(site, **changes):
    return {
        "site": site.pk,
        "repair_categories": ["corrective", "condition"],
        "failure_categories": ["corrective"],
        "excluded_activities": ["4"],
        "excluded_items": ["driver"],
        **changes,
    }


@pytest.fixture
def rule(administrator):
    return counting_rule_set(
        by=administrator,
        site=SiteFactory(),
        repair_categories=["corrective", "condition"],
        failure_categories=["corrective"],
    )


def test_a_new_rule_becomes_the_next_version(administrator_client, rule):
    response = administrator_client.post(reverse(ADD), ticked(rule.site))
    assert response.status_code == 302
    newest = CountingRule.objects.filter(site=rule.site).first()
    assert newest.version == 2
    assert newest.excluded_items == ["driver"]
    assert newest.made_by.username == "administrator"


def test_the_form_starts_from_the_standard_rule(administrator_client):
    form = administrator_client.get(reverse(ADD)).context["adminform"].form
    assert form["excluded_activities"].value() == ["4", "7"]


def test_at_one_site_the_form_starts_from_the_rule_that_holds(rule):
    limited = UserFactory(sees_all_sites=False, role="administrator", is_staff=True)
    limited.sites.add(rule.site)
    form = logged_in(limited).get(reverse(ADD)).context["adminform"].form
    assert form["site"].value() == rule.site.pk
    assert form["repair_categories"].value() == ["corrective", "condition"]


def test_a_failure_that_is_no_repair_is_refused(administrator_client):
    data = ticked(SiteFactory(), failure_categories=["preventive"])
    response = administrator_client.post(reverse(ADD), data)
    assert "also counts as a repair" in response.text
    assert not CountingRule.objects.exists()


def test_a_rule_is_neither_changed_nor_deleted(administrator_client, rule):
    change = reverse("admin:records_countingrule_change", args=[rule.pk])
    delete = reverse("admin:records_countingrule_delete", args=[rule.pk])
    assert administrator_client.post(change, ticked(rule.site)).status_code == 403
    assert administrator_client.post(delete, {"post": "yes"}).status_code == 403


def test_the_list_says_in_words_what_counts_and_which_version_holds(
    administrator_client, rule
):
    administrator_client.post(reverse(ADD), ticked(rule.site))
    text = administrator_client.get(reverse(LIST)).text
    assert "Failures: corrective" in text
    assert text.count(">yes<") == 1
    assert text.count(">no<") == 1


def test_a_limited_administrator_sets_rules_of_own_sites_only(rule):
    limited = UserFactory(sees_all_sites=False, role="administrator", is_staff=True)
    limited.sites.add(SiteFactory())
    client = logged_in(limited)
    assert str(rule.site) not in client.get(reverse(LIST)).text
    assert client.post(reverse(ADD), ticked(rule.site)).status_code == 200
    assert CountingRule.objects.count() == 1
