"""Deciding, the panel of before and after, the verdict, and what worked."""

import csv
from datetime import UTC, date, datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from analytics.models import FrozenExpectation, FrozenVerdict
from analytics.reports.actions.expectation import expectation_freeze
from records.action_choices import ActionState, ChangeMade, Verdict
from records.models import Action
from records.selectors.actions import months_before
from tests.analytics.reports.actions.fleet import (
    BEGINNING,
    DECIDED,
    DONE,
    fleet,
    repairs_spread,
)
from tests.factories.actions import ActionFactory
from tests.factories.plant import PumpFactory, SiteFactory, UserFactory
from tests.factories.records import RepairFactory

NEW = "/actions/new/"
DUE = date(2024, 2, 1)


@pytest.fixture
def done_action(engineer):
    positions = fleet(20)
    for position in positions:
        repairs_spread(position, 6, BEGINNING, DECIDED)
    for position in positions[10:]:
        repairs_spread(position, 2, DONE, DUE)
    action = ActionFactory(
        site=positions[0].site,
        positions=positions[:10],
        decided_at=datetime(2023, 1, 1, 8, tzinfo=UTC),
        state=ActionState.DONE,
        done_on=DONE,
    )
    expectation_freeze(by=engineer, action=action)
    return action


def typed(site, owner, **more):
    return {
        "title": "Other faces",
        "change_made": ChangeMade.SEAL_TYPE,
        "site": site.pk,
        "tags": "P-000, P-003",
        "owner": owner.pk,
        "due_on": "2030-01-01",
        "expected_fewer_repairs_per_year": "0,005",
        "cost": "4600",
        "judge_after_months": "24",
        **more,
    }


def test_fewer_repairs_than_there_would_be_are_refused(engineer, engineer_client):
    site = fleet(10)[0].site
    hope = {"expected_fewer_repairs_per_year": "90"}
    form = engineer_client.post(NEW, typed(site, engineer, **hope)).context["form"]
    [words] = form.errors["expected_fewer_repairs_per_year"]
    assert words.startswith("More than there are to save: without the action ")
    assert Action.objects.count() == 0


def test_a_due_day_in_the_past_is_refused_beside_its_field(engineer, engineer_client):
    site = fleet(10)[0].site
    late = {"due_on": "2024-01-01", "expected_fewer_repairs_per_year": ""}
    form = engineer_client.post(NEW, typed(site, engineer, **late)).context["form"]
    assert form.errors["due_on"][0].startswith("This day is past: choose ")


def test_a_decision_typed_is_stored_with_its_expectation(engineer, engineer_client):
    site = fleet(10)[0].site
    answer = engineer_client.post(NEW, typed(site, engineer))
    assert answer.status_code == 302, answer.context["form"].errors
    action = Action.objects.get()
    assert answer.url == action.get_absolute_url()
    assert [row.tag for row in action.positions.all()] == ["P-000", "P-003"]
    assert (action.expected_fewer_repairs_per_year, action.judge_after_months) == (
        0.005,
        24,
    )
    assert len(action.expectation.figures["treated"]) == 2


def test_what_is_wrong_comes_back_beside_its_field(engineer, engineer_client):
    site = fleet(10)[0].site
    wrong = typed(site, engineer, tags="P-000 P-999", repair_number="R-1")
    form = engineer_client.post(NEW, wrong).context["form"]
    assert form.errors["tags"] == [f"No such tag at {site}: P-999."]
    assert form.errors["repair_number"] == [f"No such repair at {site}."]
    stranger = UserFactory(sees_all_sites=False)
    stranger.sites.add(SiteFactory())
    form = engineer_client.post(NEW, typed(site, stranger)).context["form"]
    assert "does not work at" in form.errors["owner"][0]
    form = engineer_client.post(NEW, typed(site, engineer, tags="")).context["form"]
    assert "Say what it is about" in form.errors["tags"][0]
    assert not FrozenExpectation.objects.exists()


def test_the_form_begins_with_what_the_address_names(engineer_client):
    repair = RepairFactory()
    initial = engineer_client.get(NEW, {"finding": repair.pk}).context["form"].initial
    assert initial["repair_number"] == repair.number
    assert initial["tags"] == repair.position.tag
    pump = PumpFactory(serial_number="HW-1")
    initial = engineer_client.get(NEW, {"pump": pump.pk}).context["form"].initial
    assert initial["serial_number"] == "HW-1"
    assert engineer_client.get(NEW, {"pump": "x", "position": "²"}).status_code == 200


def test_the_panel_says_what_the_figures_say(done_action, engineer_client):
    address = reverse("analytics:action_judgement", args=[done_action.pk])
    panel = engineer_client.get(address, headers={"HX-Request": "true"})
    page = engineer_client.get(address)
    assert "<html" not in panel.content.decode()
    for answer in (panel, page):
        text = answer.content.decode()
        assert "Works. Fewer events than chance explains" in text
        assert "Frozen as of 2023-01-01 over 36 months" in text
        assert "P-009" in text


def test_the_verdict_stands_beside_what_the_figures_say(done_action, engineer_client):
    address = reverse("analytics:action_judging", args=[done_action.pk])
    page = engineer_client.get(address).content.decode()
    assert "What the figures say" in page
    given = {"verdict": "works", "note": "No repair in a year"}
    answer = engineer_client.post(address, given, follow=True)
    assert "The verdict is stored, with the figures" in answer.content.decode()
    done_action.refresh_from_db()
    assert done_action.verdict == Verdict.WORKS
    again = engineer_client.post(address, given)
    assert "judged it already: Works" in again.content.decode()


def test_a_verdict_given_on_figures_that_changed_meanwhile_is_asked_again(
    done_action, engineer_client
):
    address = reverse("analytics:action_judging", args=[done_action.pk])
    seen = engineer_client.get(address).context["form"].initial["seen"]
    repairs_spread(done_action.positions.first(), 2, DONE, DUE)
    given = {"verdict": "works", "note": "No repair in a year", "seen": seen}
    form = engineer_client.post(address, given).context["form"]
    assert form.non_field_errors()[0].startswith("The records changed after you")
    done_action.refresh_from_db()
    assert (done_action.verdict, FrozenVerdict.objects.count()) == ("", 0)
    again = {**given, "seen": form.data["seen"]}
    assert engineer_client.post(address, again).status_code == 302
    assert FrozenVerdict.objects.get().figures["after"]["events"] == 2


def test_a_correction_after_the_verdict_is_shown_and_moves_nothing(
    done_action, engineer_client
):
    judging = reverse("analytics:action_judging", args=[done_action.pk])
    panel = reverse("analytics:action_judgement", args=[done_action.pk])
    engineer_client.post(judging, {"verdict": "works", "note": "None in a year"})
    before = engineer_client.get(panel).context
    assert (
        before["same"] == "From the records of today every figure comes out the same."
    )
    listed = engineer_client.get("/actions/worked/").context["rows"]
    repairs_spread(done_action.positions.first(), 3, DONE, DUE)
    after = engineer_client.get(panel)
    for name in ("conclusion", "tiles", "look_rows", "unit_rows", "figure"):
        assert after.context[name] == before[name], name
    rows = [[cell["text"] for cell in row] for row in after.context["difference_rows"]]
    told = {about: (kept, now) for about, kept, now in rows}
    assert [text[:2] for text in told["Events after"]] == ["0;", "3;"]
    assert told["P-000"][1].startswith("3 counted after")
    assert "P-001" not in told
    assert "kept with it by version" in after.content.decode()
    page = engineer_client.get("/actions/worked/")
    assert page.context["rows"] == listed
    assert (
        page.context["action_rows"][0][-1]["note"] == f"figures: {timezone.localdate()}"
    )
    assert "figures kept with its verdict" in page.content.decode()
    file = engineer_client.get("/actions/worked.csv").getvalue().decode("utf-8-sig")
    [line] = csv.DictReader(file.splitlines())
    assert line["with_figures_kept_at_the_verdict"] == "1"


def test_a_verdict_given_before_figures_were_kept_says_so(done_action, engineer_client):
    done_action.state, done_action.verdict = ActionState.JUDGED, Verdict.WORKS
    done_action.judged_at = timezone.now()
    done_action.save()
    panel = reverse("analytics:action_judgement", args=[done_action.pk])
    page = engineer_client.get(panel)
    assert "The figures of that day are not kept" in page.content.decode()
    assert "difference_rows" not in page.context
    [row] = engineer_client.get("/actions/worked/").context["action_rows"]
    assert row[-1]["note"] == "figures: today"


def test_works_is_refused_on_the_page_before_the_planned_date(engineer_client):
    lately = months_before(timezone.localdate(), 2)
    action = ActionFactory(state=ActionState.DONE, done_on=lately)
    address = reverse("analytics:action_judging", args=[action.pk])
    answer = engineer_client.post(address, {"verdict": "works", "note": "So good"})
    assert "Too early" in answer.context["form"].errors["verdict"][0]


def test_what_worked_is_listed_and_exported_alike(done_action, engineer_client):
    page = engineer_client.get("/actions/worked/")
    [row] = page.context["rows"]
    answer = engineer_client.get("/actions/worked.csv")
    [line] = csv.DictReader(answer.getvalue().decode("utf-8-sig").splitlines())
    assert row[0]["text"] == line["kind_of_change"] == "Other"
    assert row[3]["text"] == line["events"] == "0"
    assert row[4]["text"] == f"{float(line['expected_events']):.1f}"
    assert row[6]["text"] == (
        f"{float(line['ratio_low']):.2f} to {float(line['ratio_high']):.2f}"
    )


def test_a_manager_reads_and_gives_no_verdict(done_action, manager_client):
    address = reverse("analytics:action_judging", args=[done_action.pk])
    assert manager_client.get(address).status_code == 403
    assert manager_client.get("/actions/worked/").status_code == 200
