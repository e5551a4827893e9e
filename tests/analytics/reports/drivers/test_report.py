"""From lives on record to the ratios of life."""

from datetime import date

import pandas as pd
import pytest

from analytics.ages import Clock
from analytics.life.drivers import life_drivers
from analytics.reports.drivers.report import MOST_COLUMNS
from plant.choices import Component, Location
from tests.analytics.driver_plant import SHORT, report, seal, two_plans
from tests.factories.plant import (
    AreaFactory,
    PositionFactory,
    SiteFactory,
    UserFactory,
)

pytestmark = pytest.mark.django_db


def test_the_ratio_is_that_of_the_statistics(engineer):
    two_plans()
    found = report(engineer, "plan").result
    table = pd.DataFrame(
        {
            "age": [float(d) for days in SHORT for d in (days, 3 * days)],
            "failed": True,
            "entry_age": 0.0,
            "position": range(2 * len(SHORT)),
            "Piping plan": ["11", "21"] * len(SHORT),
        }
    )
    (expected,) = life_drivers(table, unit="d").drivers
    (driver,) = found.drivers
    assert driver == expected
    assert (driver.level, driver.against) == ("21", "11")
    assert driver.ratio == pytest.approx(3.0, rel=0.02)
    assert driver.stands_out


def test_suspensions_and_delayed_entry_enter_as_they_are(engineer):
    site = SiteFactory(records_from=date(2020, 3, 1))
    area = AreaFactory(site=site)
    for place, days in enumerate(SHORT):
        for plan, factor in (("11", 1), ("21", 3)):
            life = seal(
                factor * days,
                piping_plan=plan,
                position=PositionFactory(area=area),
                pump_facts={"records_from": site.records_from},
            )
            if place % 4 == 0:
                life.why_removed, life.condition_found = "practice", "good"
                life.defect_detected = False
                life.save()
    found = report(engineer, "plan")
    # One of the six suspended had ended by the day the records begin.
    assert (found.result.failures, found.result.suspensions) == (18, 5)
    assert (found.sample.used["entry_age"] == 60).all()
    # So there are more of the other plan, with which this one is compared.
    (driver,) = found.result.drivers
    assert (driver.level, driver.against) == ("11", "21")
    assert driver.ratio < 0.5


def test_what_is_empty_constant_or_repeated_is_refused_by_name(engineer):
    two_plans(faces=("soft", "soft"), kind=("", ""))
    area = AreaFactory(name="Alone")
    seal(100, piping_plan="11", position=PositionFactory(area=area, speed_rpm=1450))
    refused = report(engineer, "plan", "faces", "kind", "speed", "lubrication").refused
    assert refused["Faces"] == "has one value only."
    assert refused["Kind of seal"].startswith("is empty: known for 0%")
    assert refused["Speed"].startswith("is empty: known for 4%")
    assert refused["Lubrication"] == "belongs to bearings only."


def test_a_covariate_that_says_the_same_as_another_is_refused_by_name(engineer):
    for days in SHORT:
        seal(days, piping_plan="11", part_number="S-1")
        seal(3 * days, piping_plan="21", part_number="S-2")
    found = report(engineer, "plan", "part")
    assert [driver.name for driver in found.result.drivers] == ["Piping plan"]
    assert list(found.refused.values()) == [
        "repeats others, above all Piping plan: 21."
    ]


def test_lives_without_a_value_are_counted_as_left_out(engineer):
    two_plans()
    seal(100)
    found = report(engineer, "plan")
    assert found.unknown == {"Piping plan": 1}
    assert found.result.left_out == 1


def test_too_few_failures_are_refused_in_words(engineer):
    seal(100, piping_plan="11")
    seal(200, piping_plan="21")
    found = report(engineer, "plan")
    assert found.result is None
    assert found.refusal


def test_no_life_at_all_is_refused_in_words(engineer):
    found = report(engineer)
    assert found.refusal == "No life of this choice can take part in a fit."
    assert found.taken == ()


def test_more_columns_than_can_be_told_apart_are_refused(engineer):
    words = [f"word {number}" for number in range(7)]
    for place, days in enumerate(SHORT * 3):
        word = words[place % 7]
        seal(
            days,
            position=PositionFactory(area__name=word),
            **dict.fromkeys(
                ("piping_plan", "faces", "secondary_seal", "part_number"), word
            ),
        )
    found = report(engineer, "plan", "faces", "secondary", "part", "area")
    assert f"more than {MOST_COLUMNS} cannot be told apart" in found.refusal


def test_the_rarest_of_many_levels_are_pooled_and_said(engineer):
    for place, days in enumerate(SHORT * 4):
        seal(days, piping_plan=f"{place % 9:02}")
    found = report(engineer, "plan")
    assert found.pooled == {"Piping plan": 3}
    levels = {driver.level for driver in found.result.drivers}
    assert len(levels) == 6
    assert "any other" in levels | {found.result.drivers[0].against}


def test_unasked_those_are_taken_that_most_lives_know_and_that_differ(engineer):
    two_plans(faces=("hard", "soft"), secondary_seal=("", "FKM"))
    assert [c.key for c in report(engineer).taken] == ["plan", "faces"]


def test_unasked_no_more_are_taken_than_the_failures_can_carry(engineer):
    for days in SHORT[:9]:
        seal(days, piping_plan="11")
        seal(3 * days, piping_plan="21", faces="hard")
    assert [c.key for c in report(engineer).taken] == ["plan"]


def test_bearings_have_their_own_covariates(engineer):
    for days in SHORT:
        for lubrication, factor in (("oil mist", 2), ("oil sump", 1)):
            seal(
                factor * days,
                component=Component.RADIAL,
                location=Location.RADIAL_DE,
                lubrication=lubrication,
            )
    found = report(engineer, component="bearing")
    assert [c.key for c in found.taken] == ["lubrication"]
    (driver,) = found.result.drivers
    assert driver.ratio == pytest.approx(0.5 if driver.level == "oil sump" else 2.0)


def test_comparing_conditions_takes_all_of_them_into_the_sample(engineer):
    for days in SHORT:
        seal(days, condition_fitted="repaired")
        seal(2 * days, condition_fitted="new")
    assert len(report(engineer).sample.rows) == len(SHORT)
    (driver,) = report(engineer, "condition").result.drivers
    assert {driver.level, driver.against} == {"repaired", "new"}


def test_place_liquid_and_clock_narrow_and_count_the_lives(engineer):
    here = PositionFactory(liquid="acid")
    seal(100, position=here, piping_plan="11")
    seal(100, piping_plan="11")
    assert len(report(engineer, area=here.area_id).sample.rows) == 1
    assert len(report(engineer, liquid="acid").sample.rows) == 1
    assert report(engineer, clock=Clock.HOURS).sample.unit == "h"


def test_lives_of_other_sites_take_no_part():
    two_plans()
    user = UserFactory(sees_all_sites=False)
    user.sites.add(SiteFactory())
    assert len(report(user).sample.rows) == 0
