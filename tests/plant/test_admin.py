"""Administration: who gets in, what it holds, and that nobody hands out too much."""

import pytest
from django.conf import settings
from django.contrib import admin
from django.contrib.auth.models import Group
from django.urls import reverse

from plant.access import shell_user
from plant.models import Area, FittedLife, Placement, Position, Pump, Site, User
from records.models import ComponentChange, CostLine, Repair
from tests.conftest import logged_in
from tests.factories.plant import AreaFactory, SiteFactory, UserFactory


def person_change(person: User, **changes):
    """What the browser sends for a person left as it is, with `changes`."""
    return {
        "username": person.username,
        "is_active": "on",
        "sites": [site.pk for site in person.sites.all()],
        "groups": [group.pk for group in person.groups.all()],
        **changes,
    }


def change_url(person: User) -> str:
    return reverse("admin:plant_user_change", args=[person.pk])


def role(name: str) -> int:
    return Group.objects.get(name=name).pk


@pytest.fixture
def limited_administrator(db):
    user = UserFactory(sees_all_sites=False, role="administrator", is_staff=True)
    user.sites.add(SiteFactory(name="Own works"))
    return user


def test_what_was_logged_is_never_kept_here():
    kept = set(admin.site._registry)
    assert {User, Site, Area} <= kept
    assert not kept & {
        Repair,
        ComponentChange,
        CostLine,
        FittedLife,
        Placement,
        Position,
        Pump,
        Group,
    }


def test_staff_without_the_role_may_do_nothing_inside(db):
    client = logged_in(UserFactory(role="planner", is_staff=True))
    assert client.get(reverse("admin:index")).status_code == 403
    assert client.get(reverse("admin:plant_user_changelist")).status_code == 403
    assert client.get(reverse("admin:plant_site_add")).status_code == 403


def test_the_pages_speak_of_passwords_only(administrator_client):
    person = UserFactory(username="ada")
    add = administrator_client.get(reverse("admin:plant_user_add")).text
    change = administrator_client.get(change_url(person)).text
    password_url = reverse("admin:auth_user_password_change", args=[person.pk])
    password = administrator_client.get(password_url).text
    assert password_url in change
    for text in (add, change, password):
        assert "LDAP" not in text
        assert "algorithm" not in text
        assert text.count('type="submit"') == 2  # ours and the header's log-out


def test_an_administrator_sets_a_new_password(administrator_client):
    person = UserFactory(username="ada")
    url = reverse("admin:auth_user_password_change", args=[person.pk])
    blank = administrator_client.post(url, {"password1": "", "password2": ""})
    assert blank.status_code == 200
    new = {"password1": "long enough pass", "password2": "long enough pass"}
    assert administrator_client.post(url, new).status_code == 302
    person.refresh_from_db()
    assert person.check_password("long enough pass")


def test_an_administrator_enters_a_planner_of_one_site(administrator_client):
    site = SiteFactory()
    response = administrator_client.post(
        reverse("admin:plant_user_add"),
        {
            "username": "new.planner",
            "password1": "long enough pass",
            "password2": "long enough pass",
            "groups": [role("planner")],
            "sites": [site.pk],
        },
    )
    assert response.status_code == 302
    person = User.objects.get(username="new.planner")
    assert person.has_perm("records.log_repair")
    assert list(person.sites.all()) == [site]
    assert not person.is_staff


def test_a_weak_password_is_refused(administrator_client):
    response = administrator_client.post(
        reverse("admin:plant_user_add"),
        {
            "username": "new.planner",
            "password1": "short",
            "password2": "short",
        },
    )
    assert "at least 10 characters" in response.text
    assert not User.objects.filter(username="new.planner").exists()


def test_the_administrator_role_opens_the_administration_and_leaves_with_it(
    administrator_client,
):
    person = UserFactory(role="planner")
    administrator_client.post(
        change_url(person),
        person_change(person, groups=[role("administrator")], sees_all_sites="on"),
    )
    person.refresh_from_db()
    assert person.is_staff
    administrator_client.post(
        change_url(person),
        person_change(person, groups=[role("planner")], sees_all_sites="on"),
    )
    person.refresh_from_db()
    assert not person.is_staff


def test_an_administrator_makes_nobody_a_superuser(administrator_client):
    person = UserFactory(role="planner")
    administrator_client.post(
        change_url(person),
        person_change(person, is_superuser="on", is_staff="on", user_permissions=[1]),
    )
    person.refresh_from_db()
    assert not person.is_superuser
    assert not person.is_staff
    assert not person.user_permissions.exists()


def test_an_administrator_does_not_touch_a_superuser(administrator_client):
    owner = UserFactory(is_superuser=True, is_staff=True)
    url = change_url(owner)
    password_url = reverse("admin:auth_user_password_change", args=[owner.pk])
    data = {"password1": "taken over now", "password2": "taken over now"}
    assert administrator_client.post(url, person_change(owner)).status_code == 403
    assert administrator_client.post(password_url, data).status_code == 403


def test_the_command_line_row_is_closed_to_all(db):
    client = logged_in(UserFactory(is_superuser=True, is_staff=True))
    row = shell_user()
    assert client.post(change_url(row), person_change(row)).status_code == 403


def test_nobody_is_deleted(administrator_client):
    person = UserFactory()
    url = reverse("admin:plant_user_delete", args=[person.pk])
    assert administrator_client.post(url, {"post": "yes"}).status_code == 403


def test_an_administrator_lifts_a_block(administrator_client, client):
    person = UserFactory(username="ada")
    person.set_password("a pump runs well")
    person.save()
    wrong = {"username": "ada", "password": "wrong"}
    for _ in range(settings.AXES_FAILURE_LIMIT):
        last = client.post(reverse("login"), wrong)
    assert last.status_code == 429
    administrator_client.post(
        reverse("admin:plant_user_changelist"),
        {"action": "block_lift", "_selected_action": [person.pk]},
    )
    right = {"username": "ada", "password": "a pump runs well"}
    assert client.post(reverse("login"), right).status_code == 302


def test_a_limited_administrator_sees_only_people_of_own_sites(limited_administrator):
    mine = UserFactory(username="mine", sees_all_sites=False)
    mine.sites.add(*limited_administrator.sites.all())
    UserFactory(username="elsewhere", sees_all_sites=False).sites.add(
        SiteFactory(name="Far works")
    )
    UserFactory(username="everywhere")
    client = logged_in(limited_administrator)
    text = client.get(reverse("admin:plant_user_changelist")).text
    assert ">mine<" in text
    assert "elsewhere" not in text
    assert "Far works" not in text
    assert "everywhere" not in text


def test_a_limited_administrator_gives_only_own_sites(limited_administrator):
    own, other = limited_administrator.sites.get(), SiteFactory()
    person = UserFactory(sees_all_sites=False)
    person.sites.add(own)
    client = logged_in(limited_administrator)
    response = client.post(change_url(person), person_change(person, sites=[other.pk]))
    assert response.status_code == 200
    client.post(change_url(person), person_change(person, sees_all_sites="on"))
    person.refresh_from_db()
    assert list(person.sites.all()) == [own]
    assert not person.sees_all_sites


def test_who_also_works_elsewhere_is_closed_to_a_limited_administrator(
    limited_administrator,
):
    own, other = limited_administrator.sites.get(), SiteFactory(name="Far works")
    person = UserFactory(sees_all_sites=False)
    person.sites.add(own, other)
    person.set_password("a pump runs well")
    person.save()
    client = logged_in(limited_administrator)
    changed = person_change(person, sites=[own.pk], first_name="Ada", is_active="")
    assert client.post(change_url(person), changed).status_code == 403
    password_url = reverse("admin:auth_user_password_change", args=[person.pk])
    new = {"password1": "taken over now", "password2": "taken over now"}
    assert client.post(password_url, new).status_code == 403
    person.refresh_from_db()
    assert person.check_password("a pump runs well")
    assert set(person.sites.all()) == {own, other}
    assert "Far works" not in client.get(change_url(person)).text


def test_an_administrator_of_both_sites_sets_the_password(limited_administrator):
    other = SiteFactory()
    limited_administrator.sites.add(other)
    person = UserFactory(sees_all_sites=False)
    person.sites.add(*limited_administrator.sites.all())
    url = reverse("admin:auth_user_password_change", args=[person.pk])
    new = {"password1": "long enough pass", "password2": "long enough pass"}
    assert logged_in(limited_administrator).post(url, new).status_code == 302
    person.refresh_from_db()
    assert person.check_password("long enough pass")


def test_a_person_entered_without_a_site_gets_those_of_the_administrator(
    limited_administrator,
):
    logged_in(limited_administrator).post(
        reverse("admin:plant_user_add"),
        {
            "username": "new.fitter",
            "password1": "long enough pass",
            "password2": "long enough pass",
        },
    )
    person = User.objects.get(username="new.fitter")
    assert list(person.sites.all()) == list(limited_administrator.sites.all())


def test_a_limited_administrator_keeps_areas_of_own_sites(limited_administrator):
    own, other = limited_administrator.sites.get(), SiteFactory()
    AreaFactory(site=other, name="Far unit")
    client = logged_in(limited_administrator)
    text = client.get(reverse("admin:plant_area_changelist")).text
    assert "Far unit" not in text
    assert other.name not in text
    refused = client.post(
        reverse("admin:plant_area_add"), {"site": other.pk, "name": "Wedge"}
    )
    assert refused.status_code == 200
    client.post(reverse("admin:plant_area_add"), {"site": own.pk, "name": "Near unit"})
    assert list(own.areas.values_list("name", flat=True)) == ["Near unit"]


def test_who_enters_a_site_sees_it(limited_administrator):
    logged_in(limited_administrator).post(
        reverse("admin:plant_site_add"),
        {
            "name": "New works",
            "time_zone": "Europe/Amsterdam",
            "currency": "EUR",
            "rework_window_days": 90,
        },
    )
    names = limited_administrator.sites.values_list("name", flat=True)
    assert "New works" in names


def test_a_zone_that_does_not_exist_is_refused(administrator_client):
    response = administrator_client.post(
        reverse("admin:plant_site_add"),
        {"name": "New works", "time_zone": "Mars/North", "currency": "EUR"},
    )
    assert "is not a time zone" in response.text
    assert not Site.objects.exists()
