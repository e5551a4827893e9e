"""A review: opened, decided, closed, and what a later correction changes."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.core.management import CommandError, call_command
from django.db import DatabaseError, transaction
from django.urls import reverse

from analytics.models import Review
from analytics.reports.reviews.current import sheet_for
from analytics.reports.reviews.differences import (
    UNNAMED,
    Differences,
    review_differences,
)
from analytics.reports.reviews.figures import flagged_units, review_figures
from analytics.reports.reviews.sheet import review_sheet
from analytics.services.reviews import (
    review_close,
    review_decide,
    review_note,
    review_open,
)
from records.services.repairs import repair_correct, repair_sign
from tests.analytics.reports.reviews.conftest import MARCH, closed
from tests.conftest import logged_in
from tests.factories.plant import (
    PositionFactory,
    SiteFactory,
    UserFactory,
)
from tests.factories.records import RepairFactory


def test_the_worst_unit_is_listed_with_its_reason(review, engineer):
    sheet = sheet_for(review, engineer)
    worst = sheet.units[0]
    assert worst.name == "P-00"
    assert worst.figures["repairs"] == 12
    assert worst.figures["reason"] in worst.why
    assert "12 repairs" in worst.why
    assert sheet.headline[0].startswith("MTBR of the window: ")


def test_a_flag_says_what_it_was_a_month_before(review, engineer):
    figures = review_figures(review, engineer)
    sheet = review_sheet(review, figures, "", shows_costs=False)
    assert sheet.units[0].why.startswith("Still flagged, as a month before. 12 repairs")
    # So was it written where a review was closed before these words were kept.
    del figures["units"][0]["status_words"]
    older = review_sheet(review, figures, "", shows_costs=False)
    assert older.units[0].why.startswith("Still. 12 repairs")


def test_a_month_is_opened_once_and_never_ahead_of_time(site, engineer, review):
    with pytest.raises(ValidationError, match="has a review already"):
        review_open(by=engineer, site=site, month=date(2025, 3, 17))
    with pytest.raises(ValidationError, match="still to come"):
        review_open(by=engineer, site=site, month=date(2099, 1, 1))


def test_only_the_engineer_of_the_site_keeps_it(site, manager, planner):
    for person in (manager, planner):
        with pytest.raises(PermissionDenied):
            review_open(by=person, site=site, month=MARCH)
    stranger = UserFactory(role="reliability engineer", sees_all_sites=False)
    with pytest.raises(PermissionDenied):
        review_open(by=stranger, site=site, month=MARCH)


def test_it_closes_only_when_every_flagged_unit_is_decided(review, engineer):
    with pytest.raises(ValidationError, match="not decided yet: P-00"):
        review_close(by=engineer, review=review)
    assert Review.objects.get().state == "open"
    assert closed(engineer, review).state == "closed"


def test_a_running_month_is_not_closed(site, engineer):
    running = review_open(by=engineer, site=site, month=date.today().replace(day=1))
    with pytest.raises(ValidationError, match="not over yet"):
        review_close(by=engineer, review=running)


def test_a_closed_review_takes_no_further_word(review, engineer):
    frozen = closed(engineer, review)
    position = frozen.site.positions.first()
    with pytest.raises(ValidationError, match="is closed"):
        review_decide(by=engineer, review=frozen, unit=position, decision="watch")
    with pytest.raises(ValidationError, match="is closed"):
        review_note(by=engineer, review=frozen, note="Later")
    with pytest.raises(ValidationError, match="is closed"):
        review_close(by=engineer, review=frozen)


def test_a_unit_of_another_site_is_refused(review, engineer):
    with pytest.raises(ValidationError, match="is not of"):
        review_decide(
            by=engineer, review=review, unit=PositionFactory(), decision="watch"
        )


def test_a_later_correction_is_a_difference_and_changes_nothing(review, engineer):
    repair = RepairFactory._meta.model.objects.get(number="R-00-03")
    repair_sign(by=engineer, repair=repair, as_is=["failed:impeller"])
    frozen = closed(engineer, review)
    before = sheet_for(frozen, engineer)
    assert review_differences(frozen, engineer) == Differences([])
    repair_correct(
        by=engineer,
        repair=repair,
        reason="It was the oil",
        item="oil",
    )
    frozen = Review.objects.get(pk=frozen.pk)
    assert sheet_for(frozen, engineer) == before
    found = {row.about: (row.frozen, row.now) for row in _now(frozen, engineer)}
    assert found["P-00: repairs"] == ("12", "11")
    assert found["MTBR of the window"][0] != found["MTBR of the window"][1]


def _now(review, engineer):
    return review_differences(review, engineer).rows


def test_a_correction_that_moves_no_figure_shows_none(review, engineer):
    frozen = closed(engineer, review)
    repair = RepairFactory._meta.model.objects.get(number="R-00-03")
    RepairFactory._meta.model.objects.filter(pk=repair.pk).update(cause="3.4")
    assert review_differences(frozen, engineer) == Differences([], UNNAMED)


@pytest.mark.postgresql
def test_the_database_itself_refuses_to_touch_what_is_closed(review, engineer):
    frozen = closed(engineer, review)
    with pytest.raises(DatabaseError), transaction.atomic():
        Review.objects.filter(pk=frozen.pk).update(note="Better so")
    with pytest.raises(DatabaseError), transaction.atomic():
        frozen.decisions.update(note="Better so")
    with pytest.raises(DatabaseError), transaction.atomic():
        frozen.decisions.all().delete()


def test_the_next_month_starts_from_the_last(review, engineer, site):
    frozen = closed(engineer, review)
    position = site.positions.get(tag="P-07")
    other = review_open(by=engineer, site=site, month=date(2025, 4, 1))
    assert frozen.decisions.count() >= 1
    assert "P-07" not in [unit.name for unit in sheet_for(other, engineer).units]
    carried = {unit.name: unit.why for unit in sheet_for(other, engineer).units}
    assert "Decision of March 2025: watch." in carried["P-00"]
    review_decide(by=engineer, review=other, unit=position, decision="watch")
    review_close_next = review_open(by=engineer, site=site, month=date(2025, 5, 1))
    names = [unit.name for unit in sheet_for(review_close_next, engineer).units]
    assert "P-07" in names


def test_costs_are_shown_only_to_who_may_see_them(review, engineer, planner):
    fitter = UserFactory(role="fitter")
    frozen = closed(engineer, review)
    assert sheet_for(frozen, fitter).costs == []


def test_without_a_mail_server_nothing_is_sent(review, settings):
    settings.EMAIL_HOST = ""
    someone = UserFactory(email="a@plant.example")
    with pytest.raises(CommandError, match="Mail is not set up"):
        call_command("send_review", "2025-03", "--to", someone.username)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["2025-13", "--to", "x"], "no month"),
        (["2024-01", "--to", "x"], "no review of 2024-01"),
        (["2025-03", "--to", "nobody"], "No active log-in: nobody"),
    ],
)
def test_the_command_says_what_is_wrong(review, arguments, words):
    with pytest.raises(CommandError, match=words):
        call_command("send_review", *arguments)


def test_the_engineer_decides_and_closes_on_the_pages(
    review, engineer_client, engineer
):
    for unit in flagged_units(review_figures(review, engineer)):
        address = reverse(
            "analytics:review_decide", args=[review.pk, unit["kind"], unit["pk"]]
        )
        assert unit["reason"] in engineer_client.get(address).content.decode()
        engineer_client.post(address, {"decision": "watch", "note": "Wait a month"})
    note = reverse("analytics:review_note", args=[review.pk])
    engineer_client.post(note, {"note": "A quiet month."})
    close = reverse("analytics:review_close", args=[review.pk])
    page = engineer_client.post(close, follow=True).content.decode()
    assert "is closed." in page
    assert "A quiet month." in page
    assert "Watch. Wait a month" in page


def test_a_month_is_opened_on_the_page(site, engineer_client):
    typed = {"site": site.pk, "month": "2025-02", "window_months": "12"}
    answer = engineer_client.post("/reviews/", typed, follow=True)
    assert "Review of February 2025" in answer.content.decode()
    wrong = engineer_client.post("/reviews/", {**typed, "month": "soon"})
    assert wrong.context["form"].errors["month"] == ["Type a month as 2025-03."]


def test_another_site_sees_no_review(review):
    stranger = UserFactory(role="manager", sees_all_sites=False)
    stranger.sites.add(SiteFactory())
    browser = logged_in(stranger)
    assert browser.get(review.get_absolute_url()).status_code == 404
    assert browser.get("/reviews/").context["rows"] == []
