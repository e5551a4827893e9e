"""The service that stores new versions of a counting rule."""

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from records.counting import rules_by_site
from records.models import CountingRule
from records.services.counting_rules import counting_rule_set
from tests.factories.plant import SiteFactory, UserFactory

FACTS = {
    "repair_categories": ["corrective", "condition"],
    "failure_categories": ["corrective"],
}


def test_versions_count_up_for_each_site_and_the_newest_holds(administrator):
    site, other = SiteFactory(), SiteFactory()
    counting_rule_set(by=administrator, site=site, **FACTS)
    counting_rule_set(by=administrator, site=other, **FACTS)
    second = counting_rule_set(
        by=administrator, site=site, **FACTS, excluded_items=["driver"]
    )
    assert second.version == 2
    assert second.made_by == administrator
    rules = rules_by_site([site, other])
    assert (rules[site.pk].version, rules[other.pk].version) == (2, 1)
    assert rules[site.pk].excluded_items == ["driver"]


def test_an_earlier_version_stays_as_it_was(administrator):
    site = SiteFactory()
    first = counting_rule_set(by=administrator, site=site, **FACTS)
    counting_rule_set(
        by=administrator,
        site=site,
        repair_categories=["corrective"],
        failure_categories=["corrective"],
    )
    first.refresh_from_db()
    assert first.repair_categories == ["corrective", "condition"]


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"repair_categories": []}, "Nothing would count as a repair"),
        ({"failure_categories": []}, "Nothing would count as a failure"),
        ({"failure_categories": ["preventive"]}, "also counts as a repair"),
        ({"excluded_items": ["propeller"]}, "Not in the vocabulary: propeller"),
        ({"excluded_activities": ["99"]}, "Not in the vocabulary: 99"),
    ],
)
def test_a_rule_that_makes_no_sense_is_refused(administrator, changes, message):
    with pytest.raises(ValidationError, match=message):
        counting_rule_set(by=administrator, site=SiteFactory(), **{**FACTS, **changes})
    assert not CountingRule.objects.exists()


def test_other_roles_do_not_set_rules(engineer):
    with pytest.raises(PermissionDenied, match="role does not include"):
        counting_rule_set(by=engineer, site=SiteFactory(), **FACTS)


def test_an_administrator_of_another_site_is_refused(db):
    limited = UserFactory(sees_all_sites=False, role="administrator")
    with pytest.raises(PermissionDenied, match="You do not work at"):
        counting_rule_set(by=limited, site=SiteFactory(), **FACTS)
