"""The pages of actions: list, export, one action, done and dropped."""

import csv
from datetime import date, timedelta

from django.urls import reverse
from django.utils import timezone

from records.action_choices import ActionState, ChangeMade, Verdict
from tests.conftest import logged_in
from tests.factories.actions import ActionFactory
from tests.factories.plant import PositionFactory, UserFactory

LIST = "/actions/"


def titles(answer):
    return [row[0]["text"] for row in answer.context["rows"]]


def exported(client, **query):
    answer = client.get("/actions/export.csv", query)
    lines = answer.getvalue().decode("utf-8-sig").splitlines()
    return list(csv.DictReader(lines))


def test_filters_choose_by_state_owner_site_and_lateness(engineer_client):
    today = timezone.localdate()
    late = ActionFactory(title="Late", due_on=today - timedelta(days=1))
    ActionFactory(title="Soon", due_on=today + timedelta(days=9))
    ActionFactory(title="Done", state=ActionState.DONE, done_on=date(2024, 5, 1))

    def shown(**query):
        return titles(engineer_client.get(LIST, query))

    assert sorted(shown()) == ["Done", "Late", "Soon"]
    assert shown(overdue_only="on") == ["Late"]
    assert shown(verdict_due="on") == ["Done"]
    assert shown(state="done") == ["Done"]
    assert shown(owner=late.owner_id) == ["Late"]
    assert shown(site=late.site_id) == ["Late"]
    assert shown(text="soo") == ["Soon"]


def test_overdue_and_verdict_due_are_marked(engineer_client):
    ActionFactory(title="Late", due_on=date(2024, 1, 1))
    ActionFactory(title="Done", state=ActionState.DONE, done_on=date(2024, 5, 1))
    rows = engineer_client.get(LIST, {"sort": "title"}).context["rows"]
    assert [row[1].get("flag") for row in rows] == ["verdict due", "overdue"]


def test_an_owner_who_left_is_marked_and_stays_selectable(engineer_client):
    gone = UserFactory(is_active=False)
    action = ActionFactory(title="Orphan", owner=gone)
    over = {"state": ActionState.DROPPED, "dropped_reason": "Retired"}
    ActionFactory(title="Over", owner=gone, **over)
    rows = engineer_client.get(LIST, {"sort": "title"}).context["rows"]
    assert [row[3].get("flag") for row in rows] == ["owner has left", None]
    page = engineer_client.get(reverse("records:action_changing", args=[action.pk]))
    field = page.context["form"].fields["owner"]
    assert gone in field.queryset
    assert page.context["form"].initial["owner"] == gone


def test_the_search_finds_a_tag_once_though_two_are_treated(engineer_client):
    first = PositionFactory(tag="P-901")
    second = PositionFactory(tag="P-902", area=first.area)
    ActionFactory(title="Both", site=first.site, positions=[first, second])
    assert titles(engineer_client.get(LIST, {"text": "P-90"})) == ["Both"]


def test_the_list_sorts_and_pages(engineer_client):
    for number in range(52):
        ActionFactory(title=f"A {number:02d}")
    first = engineer_client.get(LIST, {"sort": "-title"})
    assert titles(first)[0] == "A 51"
    assert titles(engineer_client.get(LIST, {"sort": "-title", "page": 2})) == [
        "A 01",
        "A 00",
    ]


def test_the_list_asks_no_more_for_more_rows(
    engineer_client, django_assert_num_queries, django_assert_max_num_queries
):
    position = PositionFactory()
    ActionFactory(site=position.site, positions=[position])
    engineer_client.get(LIST)
    with django_assert_max_num_queries(30) as first:
        engineer_client.get(LIST)
    for _ in range(6):
        ActionFactory(site=position.site, positions=[position])
    with django_assert_num_queries(len(first.captured_queries)):
        engineer_client.get(LIST)


def test_the_export_holds_the_rows_of_the_list(engineer_client):
    position = PositionFactory(tag="P-77")
    ActionFactory(title="=cmd", positions=[position], site=position.site, cost=12)
    ActionFactory(title="Other", state=ActionState.DROPPED, dropped_reason="No")
    [row] = exported(engineer_client, state="open")
    assert (row["action"], row["positions"], row["cost"]) == ("'=cmd", "P-77", "12.00")


def test_costs_are_kept_from_who_may_not_see_them(db):
    action = ActionFactory(cost=4321, currency="EUR")
    fitter = logged_in(UserFactory(role="fitter"))
    assert "4,321" not in fitter.get(LIST).content.decode()
    assert "4,321" not in fitter.get(action.get_absolute_url()).content.decode()
    assert "cost" not in exported(fitter)[0]


def test_one_action_shows_its_decision_its_course_and_its_history(engineer_client):
    position = PositionFactory(tag="P-55")
    action = ActionFactory(
        site=position.site,
        positions=[position],
        change_made=ChangeMade.PIPING_PLAN,
        reason="Crystals behind the faces",
        state=ActionState.JUDGED,
        done_on=date(2024, 5, 1),
        verdict=Verdict.UNPROVEN,
        verdict_note="Too few pumps",
        judged_by=UserFactory(username="ann"),
    )
    page = engineer_client.get(action.get_absolute_url()).content.decode()
    for words in ("P-55", "Crystals behind", "Too few pumps", "ann", "2025-05-01"):
        assert words in page
    assert reverse("analytics:action_judgement", args=[action.pk]) in page


def test_the_owner_is_offered_to_mark_it_done_and_the_manager_is_not(
    planner, planner_client, manager_client
):
    action = ActionFactory(owner=planner)
    assert (
        "Mark it done" in planner_client.get(action.get_absolute_url()).content.decode()
    )
    page = manager_client.get(action.get_absolute_url()).content.decode()
    assert "Mark it done" not in page
    assert "Drop it" not in page


def test_it_is_marked_done_and_a_slip_comes_back_beside_its_field(
    planner, planner_client
):
    action = ActionFactory(owner=planner)
    address = reverse("records:action_marking_done", args=[action.pk])
    refused = planner_client.post(address, {"done_on": "2023-01-01"})
    assert "It was decided on" in refused.context["form"].errors["done_on"][0]
    answer = planner_client.post(address, {"done_on": "2024-05-01"}, follow=True)
    assert "It is marked done." in answer.content.decode()
    again = planner_client.post(address, {"done_on": "2024-05-01"})
    assert "done already" in again.content.decode()


def test_it_is_dropped_with_a_reason(engineer_client):
    action = ActionFactory()
    address = reverse("records:action_dropping", args=[action.pk])
    page = engineer_client.post(address, {"reason": "Pump goes"}, follow=True)
    assert "Pump goes" in page.content.decode()


def test_owner_day_and_verdict_are_changed_and_told_in_the_history(engineer_client):
    action = ActionFactory(owner=UserFactory(username="ann"), judge_after_months=12)
    UserFactory(username="ben")
    address = reverse("records:action_changing", args=[action.pk])
    form = engineer_client.get(address).context["form"]
    assert form.initial["due_on"] == date(2024, 6, 1)
    owner = form.fields["owner"].queryset.get(username="ben")
    typed = {"owner": owner.pk, "due_on": "2024-09-01", "judge_after_months": "24"}
    answer = engineer_client.post(address, typed, follow=True)
    [event, _] = answer.context["history"]
    assert [(c.name, c.before, c.after) for c in event.changes] == [
        ("Owner", "ann", "ben"),
        ("Due", "2024-06-01", "2024-09-01"),
        ("Months to the verdict", "12", "24"),
    ]


def test_a_position_shows_its_own_actions_as_a_part_and_as_a_page(
    engineer_client, manager_client
):
    position = PositionFactory(tag="P-55")
    ActionFactory(site=position.site, positions=[position], title="Here")
    ActionFactory(site=position.site, title="Elsewhere")
    address = reverse("records:position_actions", args=[position.pk])
    whole = engineer_client.get(address).content.decode()
    part = engineer_client.get(address, headers={"HX-Request": "true"})
    for page in (whole, part.content.decode()):
        assert "Here" in page
        assert "Elsewhere" not in page
        assert f"/actions/new/?position={position.pk}" in page
    assert "<html" in whole
    assert "<html" not in part.content.decode()
    assert "/actions/new/" not in manager_client.get(address).content.decode()
    at = engineer_client.get(position.get_absolute_url()).content.decode()
    assert address in at
