"""Decisions that are refused, carried on, or made by two people at once."""

from datetime import date

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse
from django.utils import timezone

from analytics.models import ReviewDecision
from analytics.reports.reviews.current import sheet_for
from analytics.services.review_checks import decision_version
from analytics.services.reviews import review_close, review_decide, review_open
from records.action_choices import ActionState
from tests.analytics.reports.reviews.conftest import MARCH, closed, posted
from tests.conftest import logged_in
from tests.factories.actions import ActionFactory
from tests.factories.plant import PositionFactory, SiteFactory, UserFactory


def errors(answer):
    return answer.context["form"].errors


def test_of_two_people_at_one_unit_the_second_is_told_and_loses_nothing(
    review, site, engineer, engineer_client
):
    unit = site.positions.get(tag="P-00")
    other = logged_in(UserFactory(username="ann", role="reliability engineer"))
    mine = {"decision": "accept", "note": "Paid for", "seen": "none"}
    posted(other, review, unit, decision="watch", note="Wait", seen="none")
    answer = posted(engineer_client, review, unit, **mine)
    [words] = errors(answer)["__all__"]
    assert words.startswith("ann decided on ")
    assert "Watch (Wait). Nothing was overwritten." in words
    assert review.decisions.get().note == "Wait"
    page = answer.content.decode()
    assert "Paid for" in page
    seen = decision_version(review, unit)
    assert f'value="{seen}"' in page
    posted(engineer_client, review, unit, **{**mine, "seen": seen})
    assert review.decisions.get().note == "Paid for"


def test_act_needs_an_action_about_the_unit_and_accept_a_note(
    review, site, engineer_client
):
    unit = site.positions.get(tag="P-00")
    bare = errors(posted(engineer_client, review, unit, decision="act"))
    assert bare["action"][0].startswith("Choose the action about P-00")
    silent = errors(posted(engineer_client, review, unit, decision="accept"))
    assert silent["note"] == ["Say in a sentence why it is accepted."]
    assert not ReviewDecision.objects.exists()


@pytest.mark.parametrize(
    ("about", "words"),
    [
        ({"positions": ["P-03"]}, "is not about P-00"),
        (
            {
                "positions": ["P-00"],
                "state": ActionState.DROPPED,
                "dropped_reason": "No",
            },
            "was dropped",
        ),
        ({"positions": ["P-00"]}, ""),
        ({"population": "6311"}, ""),
    ],
)
def test_the_action_of_a_decision_is_one_about_its_unit(
    review, site, engineer, about, words
):
    tags = about.pop("positions", [])
    action = ActionFactory(
        site=site, positions=list(site.positions.filter(tag__in=tags)), **about
    )
    decision = {"by": engineer, "review": review, "decision": "act", "action": action}
    unit = site.positions.get(tag="P-00")
    if not words:
        assert review_decide(unit=unit, **decision).action == action
        return
    with pytest.raises(ValidationError) as refused:
        review_decide(unit=unit, **decision)
    assert words in refused.value.message_dict["action"][0]


def test_a_unit_under_watch_blocks_closing_and_is_carried_past_a_silent_month(
    site, review, engineer
):
    quiet = site.positions.get(tag="P-07")
    review_decide(by=engineer, review=review, unit=quiet, decision="watch")
    closed(engineer, review)
    april = review_open(by=engineer, site=site, month=date(2025, 4, 1))
    worst = site.positions.get(tag="P-00")
    review_decide(by=engineer, review=april, unit=worst, decision="accept", note="So")
    with pytest.raises(ValidationError, match=r"not decided yet: P-07\."):
        review_close(by=engineer, review=april)
    may = review_open(by=engineer, site=site, month=date(2025, 5, 1))
    why = {unit.name: unit.why for unit in sheet_for(may, engineer).units}
    assert "Decision of March 2025: watch." in why["P-07"]
    assert "Decision of" not in why.get("P-00", "")


def test_a_unit_under_watch_that_left_service_is_still_named(site, review, engineer):
    quiet = site.positions.get(tag="P-07")
    review_decide(by=engineer, review=review, unit=quiet, decision="watch")
    site.positions.filter(pk=quiet.pk).update(out_of_service_on=date(2024, 4, 1))
    april = review_open(by=engineer, site=site, month=date(2025, 4, 1))
    [listed] = [u for u in sheet_for(april, engineer).units if u.name == "P-07"]
    assert listed.why == (
        "It was not in service in this window: there are no figures. "
        "Decision of March 2025: watch."
    )
    assert listed.waits


def test_a_month_before_the_records_or_with_nothing_in_service_is_refused(engineer):
    site = SiteFactory(records_from=date(2024, 3, 10))
    with pytest.raises(ValidationError, match="begin on 2024-03-10"):
        review_open(by=engineer, site=site, month=date(2024, 2, 1))
    with pytest.raises(ValidationError, match="No position .* in March 2024"):
        review_open(by=engineer, site=site, month=date(2024, 3, 1))
    PositionFactory(area__site=site, in_service_on=date(2024, 3, 31))
    assert review_open(by=engineer, site=site, month=date(2024, 3, 1)).pk


def test_closed_and_running_months_offer_neither_decision_nor_closing(
    site, review, engineer, engineer_client
):
    close = reverse("analytics:review_close", args=[review.pk])
    assert close in engineer_client.get(review.get_absolute_url()).content.decode()
    closed(engineer, review)
    page = engineer_client.get(review.get_absolute_url())
    assert close not in page.content.decode()
    assert f"Closed by {engineer} on" in page.content.decode()
    unit = site.positions.get(tag="P-00")
    deciding = reverse("analytics:review_decide", args=[review.pk, "position", unit.pk])
    for address in (close, deciding):
        assert engineer_client.get(address).url == review.get_absolute_url()
    month = timezone.localdate().replace(day=1)
    running = review_open(by=engineer, site=site, month=month)
    page = engineer_client.get(running.get_absolute_url()).content.decode()
    assert reverse("analytics:review_close", args=[running.pk]) not in page
    assert "The month still runs" in page


def test_open_actions_stand_in_the_row_of_their_unit(review, site, engineer):
    unit = site.positions.get(tag="P-00")
    owner = UserFactory(username="ann")
    ActionFactory(site=site, title="Stiffer shaft", positions=[unit], owner=owner)
    sheet = sheet_for(review, engineer)
    assert "Open action: Stiffer shaft (ann, due 2024-06-01)." in sheet.units[0].why
    assert review.month == MARCH
