"""Keeping, changing, withdrawing an upgrade case, and binding it to its action."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from records.action_choices import ChangeMade
from records.models import UpgradeCase
from records.selectors.upgrade_cases import (
    CaseFilter,
    CaseState,
    can_change,
    cases_about,
    cases_chosen,
    state_of,
    upgrade_case_version,
    upgrade_cases_filtered,
)
from records.services.upgrade_cases import (
    MOST_POSITIONS,
    upgrade_case_bind,
    upgrade_case_bring_back,
    upgrade_case_change,
    upgrade_case_make,
    upgrade_case_withdraw,
)
from tests.factories.actions import ActionFactory
from tests.factories.plant import (
    AreaFactory,
    PositionFactory,
    SiteFactory,
    UserFactory,
)
from tests.factories.upgrades import UpgradeCaseFactory

pytestmark = pytest.mark.django_db

AS_OF = date(2024, 3, 1)


def fields(*positions, **more):
    return {
        "title": "Dual seals",
        "change_made": ChangeMade.DUAL_SEAL,
        "positions": positions,
        "as_of": AS_OF,
        "assumptions": {"purchase": ["1000", None, None]},
        **more,
    }


def make(by, *positions, **more):
    site = more.pop("site", None) or positions[0].site
    return upgrade_case_make(by=by, site=site, **fields(*positions, **more))


def test_a_case_keeps_who_what_and_the_currency_of_the_site(manager):
    site = SiteFactory(currency="NOK")
    position = PositionFactory(area=AreaFactory(site=site))
    case = make(manager, position, title=" Dual seals ")
    assert (case.title, case.currency, case.stored_by) == ("Dual seals", "NOK", manager)
    assert list(case.positions.all()) == [position]
    assert case.assumptions == {"purchase": ["1000", None, None]}
    assert case.history.first().history_user == manager
    assert (state_of(case), can_change(case)) == (CaseState.OPEN, True)


@pytest.mark.parametrize("role", ["planner", "fitter", "administrator"])
def test_only_engineers_and_managers_keep_cases(role):
    with pytest.raises(PermissionDenied, match="role does not include"):
        make(UserFactory(role=role), PositionFactory())


def test_a_manager_of_another_site_keeps_none_here():
    manager = UserFactory(role="manager", sees_all_sites=False)
    manager.sites.add(SiteFactory())
    with pytest.raises(PermissionDenied, match="do not work at"):
        make(manager, PositionFactory())


def test_positions_of_two_sites_are_refused_beside_them(manager):
    here, there = PositionFactory(), PositionFactory()
    with pytest.raises(ValidationError) as refusal:
        make(manager, here, there)
    assert refusal.value.message_dict == {
        "positions": [f"Choose positions of {here.site} only: a case is of one site."]
    }
    assert not UpgradeCase.objects.exists()


@pytest.mark.parametrize(
    ("field", "more"),
    [
        ("positions", {"positions": []}),
        ("title", {"title": " "}),
        ("change_made", {"change_made": "magic"}),
        ("as_of", {"as_of": date(24, 1, 1)}),
        ("currency", {"currency": "EURO"}),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field(manager, field, more):
    position = PositionFactory()
    with pytest.raises(ValidationError) as refusal:
        make(manager, position, site=position.site, **more)
    assert field in refusal.value.error_dict


def test_more_positions_than_one_change_treats_are_refused(manager):
    area = AreaFactory()
    many = [PositionFactory(area=area, tag=f"P-{n}") for n in range(MOST_POSITIONS + 1)]
    with pytest.raises(ValidationError, match="at most 60"):
        make(manager, *many)


def test_a_change_is_stored_and_history_keeps_what_it_said(manager, engineer):
    area = AreaFactory()
    one, two = (PositionFactory(area=area, tag=tag) for tag in ("P-1", "P-2"))
    case = make(manager, one)
    before = upgrade_case_version(case)
    changed = upgrade_case_change(
        by=engineer, case=case, version=before, **fields(two, title="Other faces")
    )
    assert (changed.title, list(changed.positions.all())) == ("Other faces", [two])
    assert changed.stored_by == manager
    assert upgrade_case_version(case) > before
    rows = case.history.order_by("-history_id")
    assert (rows.first().history_user, rows.first().title) == (engineer, "Other faces")
    assert rows.last().title == "Dual seals"


def test_who_opened_the_form_earlier_overwrites_nothing(manager):
    position = PositionFactory()
    case = make(manager, position)
    opened = upgrade_case_version(case)
    ann = UserFactory(username="ann", role="manager")
    upgrade_case_change(by=ann, case=case, version=opened, **fields(position))
    with pytest.raises(ValidationError, match="ann changed this case") as refusal:
        upgrade_case_change(
            by=manager, case=case, version=opened, **fields(position, title="Mine")
        )
    assert refusal.value.code == "stale"
    assert UpgradeCase.objects.get().title == "Dual seals"


def test_a_withdrawn_case_stays_on_record_and_comes_back(manager):
    case = upgrade_case_withdraw(
        by=manager, case=UpgradeCaseFactory(), reason="Too dear"
    )
    assert state_of(case) is CaseState.WITHDRAWN
    assert case.history.first().history_change_reason == "Too dear"
    with pytest.raises(ValidationError, match="bring it back first"):
        upgrade_case_change(by=manager, case=case, **fields(PositionFactory()))
    with pytest.raises(ValidationError, match="bring it back first"):
        upgrade_case_withdraw(by=manager, case=case, reason="Again")
    case = upgrade_case_bring_back(by=manager, case=case)
    assert can_change(case)
    with pytest.raises(ValidationError, match="not withdrawn"):
        upgrade_case_bring_back(by=manager, case=case)


@pytest.mark.parametrize("reason", [" ", "x" * 101])
def test_a_withdrawal_needs_a_reason_of_some_length(manager, reason):
    with pytest.raises(ValidationError) as refusal:
        upgrade_case_withdraw(by=manager, case=UpgradeCaseFactory(), reason=reason)
    assert "reason" in refusal.value.error_dict


def test_a_case_with_an_action_never_changes_again(manager):
    position = PositionFactory()
    case, action = make(manager, position), ActionFactory(site=position.site)
    upgrade_case_bind(by=manager, case=case, action=action, promise={"saving": 5.0})
    case.refresh_from_db()
    assert (state_of(case), case.promise) == (CaseState.ACTED, {"saving": 5.0})
    for attempt in (
        lambda: upgrade_case_change(by=manager, case=case, **fields(position)),
        lambda: upgrade_case_withdraw(by=manager, case=case, reason="No money"),
        lambda: upgrade_case_bind(
            by=manager, case=case, action=ActionFactory(), promise={"saving": 9.0}
        ),
    ):
        with pytest.raises(ValidationError, match="It became the action"):
            attempt()
    case.refresh_from_db()
    assert (case.action, case.promise) == (action, {"saving": 5.0})


def test_the_list_is_of_the_sites_in_sight_and_leaves_the_withdrawn_out():
    person = UserFactory(role="manager", sees_all_sites=False)
    mine, other = UpgradeCaseFactory(), UpgradeCaseFactory()
    gone = UpgradeCaseFactory(site=mine.site, withdrawn=True)
    acted = UpgradeCaseFactory(
        site=mine.site, action=ActionFactory(site=mine.site), promise={}
    )
    person.sites.add(mine.site)

    def listed(**choice):
        return list(upgrade_cases_filtered(user=person, choice=CaseFilter(**choice)))

    assert listed() == [acted, mine]
    assert listed(state="open") == [mine]
    assert listed(state="action") == [acted]
    assert listed(state="withdrawn") == [gone]
    assert listed(site=other.site) == []
    assert listed(text=mine.title) == [mine]
    assert cases_chosen(user=person, keys=[acted.pk, other.pk, mine.pk, acted.pk]) == [
        acted,
        mine,
    ]


def test_cases_are_sorted_by_the_figures_they_were_stored_with(manager):
    worth = {9.5: None, -120.0: None, 1000.0: None}
    for value in worth:
        kept = {"last_figures": {"net_present_value": value}}
        worth[value] = UpgradeCaseFactory(assumptions=kept)
    rows = upgrade_cases_filtered(user=manager, choice=CaseFilter())
    found = rows.order_by("last_net_present_value")
    assert [row.last_net_present_value for row in found] == sorted(worth)
    without = UpgradeCaseFactory()
    assert rows.get(pk=without.pk).last_net_present_value is None


def test_cases_of_a_position_are_found(manager):
    position = PositionFactory()
    case = make(manager, position)
    UpgradeCaseFactory(positions=[position], withdrawn=True)
    UpgradeCaseFactory()
    assert list(cases_about(user=manager, position=position)) == [case]
