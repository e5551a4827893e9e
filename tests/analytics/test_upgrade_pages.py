"""Upgrade cases on their pages: typed, listed, compared, and turned into an action."""

import csv
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from analytics.reports.upgrades.report import upgrade_report
from records.models import Action, UpgradeCase
from records.selectors.upgrade_cases import upgrade_case_version
from records.services.upgrade_cases import upgrade_case_change
from tests.analytics.reports.actions.fleet import DECIDED
from tests.analytics.upgrade_plant import TYPED, acted, case_of, plant
from tests.conftest import logged_in
from tests.factories.plant import PositionFactory, SiteFactory, UserFactory
from tests.factories.upgrades import UpgradeCaseFactory

LIST = "/costs/upgrades/"
NEW = "/costs/upgrades/new/"
COMPARE = "/costs/upgrades/compare/"
TOMORROW = str(timezone.localdate() + timedelta(days=1))


@pytest.fixture
def positions(db):
    return plant()


@pytest.fixture
def case(manager, positions):
    return case_of(manager, positions[:2])


@pytest.fixture
def stranger(db):
    person = UserFactory(role="manager", sees_all_sites=False)
    person.sites.add(SiteFactory())
    return logged_in(person)


def typed(site, **more):
    return {
        "title": "Dual seals",
        "change_made": "dual seal",
        "site": site.pk,
        "tags": "P-000, P-001",
        "as_of": str(DECIDED),
        "purchase": "8000",
        "installation_least": "1000",
        "installation": "2000",
        "installation_most": "4000",
        "repair_cost": "3000",
        "lost_production": "500",
        "typed_ratio_least": "0.3",
        "typed_ratio": "0.5",
        "typed_ratio_most": "0.8",
        "horizon_years": "10",
        "timing": "end_of_year",
        "what_fails": "all",
        "window_months": "36",
        "ratio_from": "typed",
        "component": "seal",
        "payback_months": "24",
        **more,
    }


def address(name, case):
    return reverse(f"analytics:{name}", args=[case.pk])


def rows_of(answer):
    text = answer.getvalue().decode("utf-8-sig")
    return list(csv.DictReader(text.splitlines()))


def test_a_case_typed_is_stored_and_opens_with_its_answer(manager_client, positions):
    site = positions[0].site
    answer = manager_client.post(NEW, typed(site), follow=True)
    case = UpgradeCase.objects.get()
    assert answer.redirect_chain[-1][0] == case.get_absolute_url()
    text = answer.content.decode()
    report = answer.context["answer"]["report"]
    assert report.figure("investment").value == pytest.approx(31_000 / 3)
    assert report.headline in text
    assert "Typed by hand" in text or "rests on no record" in text
    listed = manager_client.get(LIST).content.decode()
    assert "Dual seals" in listed
    assert "EUR\u00a010,333" in listed


def test_what_is_wrong_comes_back_beside_its_field_with_all_that_was_typed(
    manager_client, positions
):
    PositionFactory(tag="Z-1")
    wrong = typed(positions[0].site, tags="P-000, Z-1", as_of=TOMORROW, purchase="-5")
    answer = manager_client.post(NEW, wrong)
    form = answer.context["form"]
    assert "No such tag" in form.errors["tags"][0]
    assert "today or an earlier day" in form.errors["as_of"][0]
    assert form.errors["purchase"] == ["This cannot be below zero."]
    assert form["installation_most"].value() == "4000"
    assert not UpgradeCase.objects.exists()


def test_the_form_begins_with_the_positions_of_the_address(manager_client, positions):
    asked = {"position": [positions[3].pk, positions[1].pk]}
    form = manager_client.get(NEW, asked).context["form"]
    assert form["tags"].value() == "P-001, P-003"


def test_two_at_once_overwrite_nothing_and_lose_nothing(manager_client, case):
    page = manager_client.get(address("upgrade_case_changing", case))
    opened = page.context["form"]["version"].value()
    ann = UserFactory(username="ann", role="manager")
    kept = {"positions": list(case.positions.all()), "as_of": DECIDED}
    upgrade_case_change(
        by=ann,
        case=case,
        title="Hers",
        change_made="dual seal",
        assumptions=TYPED,
        **kept,
    )
    mine = typed(case.site, title="Mine", version=opened)
    answer = manager_client.post(address("upgrade_case_changing", case), mine)
    form = answer.context["form"]
    assert "ann changed this case" in form.non_field_errors()[0]
    assert form["title"].value() == "Mine"
    assert UpgradeCase.objects.get().title == "Hers"
    again = mine | {"version": form["version"].value()}
    manager_client.post(address("upgrade_case_changing", case), again)
    assert UpgradeCase.objects.get().title == "Mine"
    page = manager_client.get(case.get_absolute_url()).content.decode()
    assert "<del>Hers</del> became <ins>Mine</ins>" in page


def test_a_manager_turns_it_into_an_action(manager_client, case, engineer):
    acting = address("upgrade_case_acting", case)
    form = manager_client.get(acting).context["form"]
    given = {
        "owner": engineer.pk,
        "due_on": "2030-01-01",
        "judge_after_months": "12",
        "reason": form["reason"].value(),
        "version": form["version"].value(),
    }
    refused = manager_client.post(acting, given | {"due_on": "", "owner": ""})
    assert set(refused.context["form"].errors) == {"due_on", "owner"}
    answer = manager_client.post(acting, given, follow=True)
    assert answer.redirect_chain[-1][0] == case.get_absolute_url()
    action = Action.objects.get()
    text = answer.content.decode()
    assert "Promise and reality" in text
    assert "Not done yet" in text
    assert "Change</a>" not in text
    page = manager_client.get(action.get_absolute_url()).content.decode()
    assert "Promised by the upgrade case" in page
    assert case.get_absolute_url() in page
    again = manager_client.post(acting, given)
    assert "It became the action" in again.context["form"].non_field_errors()[0]
    frozen = manager_client.post(
        address("upgrade_case_changing", case), typed(case.site)
    )
    assert "It became the action" in frozen.context["form"].non_field_errors()[0]


def test_a_withdrawn_case_leaves_the_list_and_comes_back(manager_client, case):
    withdraw = address("upgrade_case_withdrawing", case)
    assert (
        "reason"
        in manager_client.post(withdraw, {"reason": " "}).context["form"].errors
    )
    manager_client.post(withdraw, {"reason": "Too dear"})
    assert case.title not in manager_client.get(LIST).content.decode()
    shown = manager_client.get(LIST, {"state": "withdrawn"}).content.decode()
    assert case.title in shown
    assert "Too dear" in manager_client.get(case.get_absolute_url()).content.decode()
    manager_client.post(address("upgrade_case_bringing_back", case))
    assert case.title in manager_client.get(LIST).content.decode()


def test_a_planner_reads_and_plans_nothing(planner_client, case):
    text = planner_client.get(case.get_absolute_url()).content.decode()
    assert "Turn into an action" not in text
    for name in ("upgrade_case_changing", "upgrade_case_acting"):
        assert planner_client.get(address(name, case)).status_code == 403


def test_a_manager_of_another_site_finds_nothing(stranger, case):
    other = UpgradeCaseFactory()
    for name in ("upgrade_case", "upgrade_export", "upgrade_case_acting"):
        assert stranger.get(address(name, case)).status_code == 404
    assert case.title not in stranger.get(LIST).content.decode()
    asked = {"case": [case.pk, other.pk]}
    page = stranger.get(COMPARE, asked)
    assert "rows" not in page.context
    assert case.title not in page.content.decode()
    assert stranger.get("/costs/upgrades/compare.csv", asked).status_code == 400
    refused = stranger.post(NEW, typed(case.site))
    assert "site" in refused.context["form"].errors


def test_cases_side_by_side_agree_with_their_pages(
    manager, manager_client, case, positions
):
    other = case_of(manager, positions[2:5], assumptions=TYPED | {"purchase": 90_000})
    asked = {"case": [case.pk, other.pk], "months": "12"}
    page = manager_client.get(COMPARE, asked)
    labels = [row[0]["text"] for row in page.context["rows"]]
    assert "Chance of payback in 12 months" in labels
    # Two cases of one name are told apart.
    names = [column["label"] for column in page.context["columns"][1:]]
    assert names == [f"Dual seals (no. {case.pk})", f"Dual seals (no. {other.pk})"]
    assert len(page.context["charts"]) == 1
    answer = manager_client.get("/costs/upgrades/compare.csv", asked)
    exported = {(row["case"], row["figure"]): row for row in rows_of(answer)}
    for one, name in zip((case, other), names, strict=True):
        report = upgrade_report(one, manager)
        worth = report.figure("net_present_value")
        row = exported[name, "net_present_value"]
        assert float(row["value"]) == worth.value
        assert (float(row["low"]), float(row["high"])) == (worth.low, worth.high)
        chance = exported[name, "payback_chance_12_months"]
        simulated = report.result.simulation.payback_probability(12)
        assert float(chance["value"]) == simulated


def test_two_currencies_stand_apart(manager, manager_client, case, positions):
    other = case_of(manager, positions[2:4], title="In dollars", currency="USD")
    page = manager_client.get(COMPARE, {"case": [case.pk, other.pk]})
    assert [chart["heading"] for chart in page.context["charts"]] == [
        "Net present value, EUR",
        "Net present value, USD",
    ]
    assert "not converted" in page.context["notices"][0]


def test_a_case_with_an_action_is_compared_as_promised(
    manager, manager_client, case, positions
):
    other = case_of(manager, positions[2:4], title="Open one")
    case = acted(manager, case)
    page = manager_client.get(COMPARE, {"case": [case.pk, other.pk]})
    assert "the figures it promised then" in " ".join(page.context["notices"])


@pytest.mark.parametrize("chosen", [0, 1, 5])
def test_too_few_or_too_many_are_refused(manager_client, case, chosen):
    cases = [UpgradeCaseFactory(site=case.site) for _ in range(chosen)]
    page = manager_client.get(COMPARE, {"case": [one.pk for one in cases]})
    assert "rows" not in page.context
    if chosen:
        assert "Tick 2 to 4" in page.context["form"].errors["case"][0]


def test_the_files_say_what_the_pages_say(manager, manager_client, case):
    [row] = rows_of(manager_client.get("/costs/upgrades.csv"))
    worth = upgrade_report(case, manager).figure("net_present_value")
    assert float(row["net_present_value"]) == worth.value
    assert (row["positions"], row["currency"]) == ("P-000, P-001", "EUR")
    answer = manager_client.get(address("upgrade_export", case))
    values = {row["Name"]: row["Value"] for row in rows_of(answer)}
    assert float(values[worth.label]) == worth.value


def queries(client, url):
    with CaptureQueriesContext(connection) as seen:
        assert client.get(url).status_code == 200
    return len(seen)


def test_pages_ask_no_more_where_there_is_more(
    manager, manager_client, case, positions
):
    manager_client.get(LIST)
    asked = (LIST, case.get_absolute_url())
    one = [queries(manager_client, url) for url in asked]
    for place in range(3):
        case_of(manager, positions[place : place + 4], title=f"Other {place}")
    upgrade_case_change(
        by=manager,
        case=case,
        title="More",
        change_made="dual seal",
        positions=positions,
        as_of=DECIDED,
        assumptions=TYPED,
        version=upgrade_case_version(case),
    )
    assert [queries(manager_client, url) for url in asked] == one
