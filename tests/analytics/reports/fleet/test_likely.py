"""Parts in service that are likely to fail, and what their chance rests on."""

import csv
import io
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from analytics.exposure import window_of_months
from analytics.life.data import LifeData
from analytics.life.weibull import weibull_fit
from analytics.life.weibull.functions import conditional_failure
from analytics.part_pools import Rung
from analytics.reports.fleet.likely import likely_failures
from analytics.reports.story.report import story
from analytics.reports.story.subject import position_subject
from analytics.samples import end_of_day
from analytics.scope import Scope
from plant.choices import Beginning
from plant.models import Position, Site
from tests.analytics import seals_on_record
from tests.analytics.seals_on_record import FITTED, PUMP_B
from tests.factories.plant import AreaFactory, PlacementFactory, SiteFactory

pytestmark = pytest.mark.django_db
FIRST = datetime.now(UTC) - timedelta(days=200)


@pytest.fixture(autouse=True)
def site(db):
    return SiteFactory(name="Riverside")


def fitted(hours=None, *, area=None, at=None, **facts):
    """A seal at a position of its own in the one site, or at one that is there."""
    if at is None:
        area = area or AreaFactory(site=Site.objects.get(name="Riverside"))
        at = PlacementFactory(position__area=area, placed_at=FITTED)
    facts = {"pump": at.pump, "position": at.position, **facts}
    return seals_on_record.fitted(hours, **facts)


def seals(ages, **facts):
    return [fitted(age, **facts) for age in ages]


def one_after_another(ages, at):
    """Seals that failed in one place, each fitted a month after the last came out."""
    since = FITTED
    for age in ages:
        since = fitted(age, at=at, fitted_at=since).removed_at + timedelta(days=30)


def likely(user, **place):
    scope = Scope(user, window_of_months(timezone.localdate(), 12), **place)
    return likely_failures(scope)


def test_the_chance_is_that_of_the_fit_at_the_age_of_the_part(engineer):
    seals(PUMP_B)
    fitted(fitted_at=FIRST)
    found = likely(engineer)
    (part,) = found.parts
    ages = [*PUMP_B, part.age_hours]
    failed = [True] * len(PUMP_B) + [False]
    fit = weibull_fit(LifeData(ages, failed, unit="h"))
    truth = conditional_failure(fit.shape, fit.scale, part.age_hours, 90 * 24)
    assert part.chance == pytest.approx(truth, rel=1e-4)
    assert (part.failed, part.lives) == (10, 11)
    assert 199 * 24 < part.age_hours < 202 * 24


def test_the_sum_of_the_chances_is_what_is_expected(engineer):
    seals(PUMP_B)
    for days in (100, 200, 400):
        fitted(fitted_at=datetime.now(UTC) - timedelta(days=days))
    found = likely(engineer)
    chances = [part.chance for part in found.parts]
    assert found.expected == pytest.approx(sum(chances))
    assert chances == sorted(chances, reverse=True)
    assert found.low <= found.expected <= found.high
    # A wearing part: the oldest is the likeliest.
    assert np.argmax([part.age_hours for part in found.parts]) == 0


def test_few_failures_give_no_chance_and_are_counted(engineer):
    seals(PUMP_B[:4])
    fitted(fitted_at=FIRST)
    found = likely(engineer)
    assert (found.parts, found.without_fit, found.expected) == ((), 1, 0.0)


def test_an_unknown_beginning_gives_no_chance_and_is_counted(engineer):
    seals(PUMP_B)
    fitted(beginning=Beginning.UNKNOWN)
    found = likely(engineer)
    assert (found.parts, found.unusable) == ((), 1)


def test_an_area_narrows_the_parts_and_not_what_they_rest_on(engineer):
    seals(PUMP_B)
    here, _there = fitted(fitted_at=FIRST), fitted(fitted_at=FIRST)
    everywhere = likely(engineer)
    (part,) = likely(engineer, area=here.position.area).parts
    assert len(everywhere.parts) == 2
    assert part.pump == here.pump_id
    assert part.chance == pytest.approx(everywhere.parts[0].chance)


def test_a_position_with_ten_failures_tells_its_own_life(engineer):
    area = AreaFactory(site=Site.objects.get(name="Riverside"))
    seals([age * 4 for age in PUMP_B], area=area)
    worst = PlacementFactory(position__area=area, placed_at=FITTED)
    one_after_another([age / 20 for age in PUMP_B], at=worst)
    fitted(at=worst, fitted_at=FIRST)
    fitted(area=area, fitted_at=FIRST)
    own, other = likely(engineer).parts
    assert (own.position, own.rung, own.failed, own.lives) == (
        *(worst.position_id, Rung.OWN),
        *(10, 11),
    )
    assert (other.rung, other.failed, other.lives) == (Rung.AREA, 20, 22)
    assert own.chance > 2 * other.chance


def test_an_area_with_few_failures_is_held_against_the_whole_site(engineer):
    one, two = (AreaFactory(site=Site.objects.get(name="Riverside")) for _ in "ab")
    seals(PUMP_B[:5], area=one)
    seals(PUMP_B[5:9], area=two)
    fitted(area=one, fitted_at=FIRST)
    fitted(area=two, fitted_at=FIRST)
    rungs = {part.rung: part.failed for part in likely(engineer).parts}
    assert rungs == {Rung.AREA: 5, Rung.ALL: 9}


def test_the_list_says_what_the_story_says(engineer):
    area = AreaFactory(site=Site.objects.get(name="Riverside"))
    seals(PUMP_B, area=area)
    worst = PlacementFactory(position__area=area, placed_at=FITTED)
    one_after_another([age / 3 for age in PUMP_B], at=worst)
    fitted(at=worst, fitted_at=FIRST)
    fitted(area=area, fitted_at=FIRST)
    for part in likely(engineer).parts:
        place = Position.objects.select_related("area", "site").get(pk=part.position)
        as_of = end_of_day(timezone.localdate())
        subject = position_subject(user=engineer, position=place, as_of=as_of)
        (told,) = story(subject).parts
        assert told.chance.value == pytest.approx(part.chance, rel=1e-6)
        assert (told.age, told.failed, told.lives) == (
            pytest.approx(part.age_hours, rel=1e-9),
            part.failed,
            part.lives,
        )


def test_the_panel_shows_the_first_and_the_file_all(engineer_client):
    seals(PUMP_B)
    for _ in range(12):
        fitted(fitted_at=FIRST)
    panel = engineer_client.get(
        "/fleet/likely-to-fail/", headers={"HX-Request": "true"}
    )
    assert len(panel.context["rows"]) == 10
    assert "<html" not in panel.content.decode()
    page = engineer_client.get("/fleet/likely-to-fail/")
    answer = engineer_client.get("/fleet/likely-to-fail/export.csv")
    lines = list(csv.reader(io.StringIO(answer.getvalue().decode("utf-8-sig"))))
    assert len(page.context["rows"]) == len(lines) - 1 == 12


def test_without_any_life_the_page_says_so(engineer_client):
    text = engineer_client.get("/fleet/likely-to-fail/").content.decode()
    assert "No part in service has a life that is known well enough." in text


def test_the_number_of_queries_stays_when_rows_double(
    engineer_client, django_assert_num_queries
):
    def grow():
        seals(PUMP_B)
        fitted(fitted_at=FIRST)

    grow()
    with CaptureQueriesContext(connection) as few:
        engineer_client.get("/fleet/likely-to-fail/")
    grow()
    with django_assert_num_queries(len(few)):
        engineer_client.get("/fleet/likely-to-fail/")
