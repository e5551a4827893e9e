"""From a review to a new action and back, and what the decision page offers."""

from datetime import date

from django.http import QueryDict
from django.urls import reverse

from analytics.reports.reviews.way_back import deciding_address
from records.action_choices import ActionState
from records.models import Action
from tests.analytics.reports.reviews.conftest import closed
from tests.conftest import logged_in
from tests.factories.actions import ActionFactory
from tests.factories.plant import SiteFactory, UserFactory


def asked(review, position):
    return QueryDict(f"position={position.pk}&review={review.pk}")


def deciding(review, position):
    args = [review.pk, "position", position.pk]
    return reverse("analytics:review_decide", args=args)


def test_an_action_of_the_review_leads_back_with_itself_chosen(
    review, site, engineer, engineer_client
):
    position = site.positions.get(tag="P-00")
    page = engineer_client.get(deciding(review, position))
    address = page.context["action_url"]
    form = engineer_client.get(address)
    assert form.context["cancel_url"] == deciding(review, position)
    evidence = page.context["listed"].figures["reason"]
    assert evidence.startswith("12 repairs")
    assert form.context["form"].initial["reason"] == evidence
    typed = {
        "title": "Stiffer shaft",
        "change_made": "other",
        "site": site.pk,
        "tags": "P-00",
        "owner": engineer.pk,
        "due_on": "2030-01-01",
        "judge_after_months": "12",
    }
    back = engineer_client.post(address, typed, follow=True)
    action = Action.objects.get()
    chosen = {"decision": "act", "action": action.pk, "seen": "none"}
    assert back.redirect_chain[0][0].startswith(deciding(review, position))
    assert back.context["form"].initial == chosen
    stored = engineer_client.post(deciding(review, position), chosen, follow=True)
    assert "Action: Stiffer shaft" in stored.content.decode()


def test_no_way_back_to_what_is_closed_unknown_or_not_yours(review, site, engineer):
    position = site.positions.get(tag="P-00")
    assert deciding_address(engineer, asked(review, position))
    stranger = UserFactory(role="reliability engineer", sees_all_sites=False)
    assert deciding_address(stranger, asked(review, position)) == ""
    for odd in ("review=1", "review=x&position=1", f"review={review.pk}&position=0"):
        assert deciding_address(engineer, QueryDict(odd)) == ""
    closed(engineer, review)
    assert deciding_address(engineer, asked(review, position)) == ""


def test_an_action_of_another_site_is_not_taken_along(review, site, engineer):
    position = site.positions.get(tag="P-00")
    foreign = ActionFactory(site=SiteFactory())
    address = deciding_address(engineer, asked(review, position), foreign)
    assert address == deciding(review, position)


def test_the_decision_page_offers_the_actions_of_the_unit_first(review, site, engineer):
    position = site.positions.get(tag="P-00")
    ActionFactory(site=site, title="Its own", positions=[position])
    ActionFactory(site=site, title="Open elsewhere", positions=[site.positions.last()])
    ActionFactory(site=site, title="Faces of one make", population="S-40")
    gone = {"state": ActionState.DONE, "done_on": date(2024, 5, 1)}
    ActionFactory(site=site, title="Done elsewhere", **gone)
    page = logged_in(engineer).get(deciding(review, position))
    none, own, of_parts = page.context["form"].fields["action"].choices
    assert none == ("", "None")
    assert [label for _, label in own[1]] == ["Its own (open)"]
    assert [label for _, label in of_parts[1]] == ["Faces of one make (open)"]


def test_the_decision_page_shows_the_evidence_and_leads_to_the_story(
    review, site, engineer_client
):
    position = site.positions.get(tag="P-00")
    page = engineer_client.get(deciding(review, position))
    shown = {entry["term"]: entry["text"] for entry in page.context["evidence"]}
    assert (shown["Repairs"], shown["Expected of its peers"]) == ("12", "1.0")
    story = reverse("analytics:story", args=[position.pk])
    assert story in page.content.decode()


def test_actions_that_wait_for_a_verdict_are_in_the_review(
    review, site, engineer_client
):
    done = {"state": ActionState.DONE, "done_on": date(2024, 5, 1)}
    action = ActionFactory(site=site, title="Old change", **done)
    page = engineer_client.get(review.get_absolute_url())
    [row] = page.context["action_rows"]
    assert row[0] == {"text": "Old change", "url": action.get_absolute_url()}
    assert row[-1]["text"] == "Done, verdict due since 2025-05-01"


def test_a_machine_that_never_moved_is_not_told_beside_its_position(
    review, engineer_client
):
    page = engineer_client.get(review.get_absolute_url())
    assert [row[0]["text"] for row in page.context["unit_rows"]] == ["P-00"]
    assert page.context["left"].startswith("Still to decide before the month")
