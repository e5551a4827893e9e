"""Roles hold the permissions that the apps name, and sites bound them."""

import pytest
from django.core.exceptions import PermissionDenied

from plant.access import require, roles, shell_user, sites_visible
from tests.factories.plant import SiteFactory, UserFactory


def test_roles_are_those_of_the_trade(db):
    assert roles() == [
        "administrator",
        "fitter",
        "manager",
        "planner",
        "reliability engineer",
    ]


def test_planner_logs_repairs_but_does_not_void_them(planner):
    assert planner.has_perm("records.log_repair")
    assert not planner.has_perm("records.void_repair")


def test_a_user_of_one_site_sees_only_it(db):
    mine, _other = SiteFactory(), SiteFactory()
    user = UserFactory(sees_all_sites=False, role="planner")
    user.sites.add(mine)
    assert list(sites_visible(user)) == [mine]


def test_require_refuses_a_missing_permission(manager):
    with pytest.raises(PermissionDenied, match="Your role does not include this"):
        require(manager, "records.log_repair")


def test_require_refuses_another_site(db):
    site = SiteFactory(name="North works")
    user = UserFactory(sees_all_sites=False, role="planner")
    with pytest.raises(PermissionDenied, match="You do not work at North works"):
        require(user, "records.log_repair", site=site)


def test_the_shell_user_may_do_all_and_cannot_log_in(db, client):
    user = shell_user()
    require(user, "records.void_repair", site=SiteFactory())
    assert not user.is_active
    assert not user.has_usable_password()
    assert shell_user().pk == user.pk
