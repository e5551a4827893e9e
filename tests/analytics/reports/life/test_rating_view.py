"""The Rating life view sets ISO 281 beside what the bearings did."""

import pytest

from analytics.life.data import LifeData
from analytics.life.weibull import weibull_fit
from analytics.reports.life.rating import kind_of
from plant.choices import Component, Location
from plant.ratings import RollingElement, basic_rating_life_hours
from tests.analytics.seals_on_record import PUMP_B, fitted, rows_of


def bearing(age, *, load=6.5, rating=52.7, speed=2_950, **facts):
    facts = {
        "component": Component.THRUST,
        "location": Location.THRUST,
        "part_number": "",
        "designation": "6309",
        "dynamic_rating_kn": rating,
        "load_kn": load,
        **facts,
    }
    life = fitted(age, **facts)
    life.position.speed_rpm = speed
    life.position.save()
    return life


def answer_of(client, query="component=bearing"):
    response = client.get(f"/life/rating/?{query}")
    assert response.status_code == 200
    return response.context["answer"]


def test_rated_and_observed_life_are_those_of_the_library(engineer_client):
    for age in PUMP_B:
        bearing(age)
    rows = rows_of(engineer_client.get("/life/rating.csv?component=bearing"))
    values = {row["figure"]: row for row in rows if row["about"] == "6309"}
    rated = basic_rating_life_hours(52.7, 6.5, 2_950)
    b10 = weibull_fit(LifeData(PUMP_B, [True] * 10)).b_life(10)
    assert float(values["rating life L10h"]["value"]) == pytest.approx(rated)
    assert float(values["observed B10"]["value"]) == pytest.approx(b10.value)
    assert float(values["observed B10"]["low"]) == pytest.approx(b10.interval.low)


@pytest.mark.parametrize(
    ("load", "verdict"),
    [
        (2.0, "Falls short of its rating"),
        (20.0, "Outlasts its rating"),
        (7.5, "Agrees with its rating"),
    ],
)
def test_the_verdict_allows_for_the_interval(engineer_client, load, verdict):
    for age in PUMP_B:
        bearing(age, load=load)
    row = answer_of(engineer_client).tables[0]["rows"][0]
    assert row[-1]["text"].startswith(verdict)


def test_what_is_missing_is_asked_for_by_name(engineer_client):
    for age in PUMP_B:
        bearing(age, load=None)
    answer = answer_of(engineer_client)
    assert "the equivalent load P" in answer.cautions[0]
    assert "10 of 10 lives lack it" in answer.cautions[0]
    assert answer.tables[0]["rows"][0][-1]["text"] == "Cannot be told"


def test_targets_carry_how_sure_their_source_is(engineer_client):
    bearing(None, load=2.0)
    bearing(None, load=20.0)
    rows = answer_of(engineer_client).tables[1]["rows"]
    of_iso = next(row for row in rows if row[0]["text"] == "ISO 5199")
    assert of_iso[2]["text"] == "17,500"
    assert of_iso[3]["text"] == "1 of 2"
    assert of_iso[5]["text"] == "default, from memory"
    of_api = next(row for row in rows if row[2]["text"] == "25,000")
    assert of_api[5]["text"] == "found in public text"


def test_what_is_asked_of_thrust_bearings_is_held_to_them_alone(engineer_client):
    life = bearing(None, load=2.0)
    radial = {"component": Component.RADIAL, "location": Location.RADIAL_DE}
    bearing(None, load=1.0, pump=life.pump, **radial)
    rows = answer_of(engineer_client).tables[1]["rows"]
    of_thrust = next(row for row in rows if row[2]["text"] == "50,000")
    assert [cell["text"] for cell in of_thrust[1:5]] == [
        "each thrust bearing",
        "50,000",
        "1 of 1",
        "0",
    ]
    rows = answer_of(engineer_client, "component=radial+bearing").tables[1]["rows"]
    assert "50,000" not in [row[2]["text"] for row in rows]


def test_a_pump_with_one_unrated_bearing_has_no_system_life(engineer_client):
    life = bearing(None, load=2.0)
    bearing(
        None,
        load=None,
        pump=life.pump,
        component=Component.RADIAL,
        location=Location.RADIAL_DE,
    )
    rows = answer_of(engineer_client).tables[1]["rows"]
    system = next(row for row in rows if row[1]["text"] == "all bearings together")
    assert system[3]["text"] == "–"
    assert system[4]["text"] == "1"


@pytest.mark.parametrize(
    ("designation", "kind"),
    [
        ("6309", RollingElement.BALL),
        ("7309 B pair", RollingElement.BALL),
        ("3308", RollingElement.BALL),
        ("2308", RollingElement.BALL),
        ("NU 309", RollingElement.ROLLER),
        ("N309", RollingElement.ROLLER),
        ("22310", RollingElement.ROLLER),
        ("30309", RollingElement.ROLLER),
    ],
)
def test_balls_and_rollers_are_told_from_the_designation(designation, kind):
    assert kind_of(designation) is kind


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ("component=seal", "Choose bearings above."),
        ("component=bearing&clock=days", "Rating life is in running hours."),
        ("component=bearing", "No bearing on record meets this choice."),
    ],
)
def test_what_makes_no_sense_is_refused_in_words(engineer_client, query, words):
    assert words in answer_of(engineer_client, query).refusal


def test_the_tab_is_there_for_bearings_only(engineer_client):
    tabs = engineer_client.get("/life/?component=seal").context["tabs"]
    assert "Rating life" not in [tab["label"] for tab in tabs]
    tabs = engineer_client.get("/life/?component=bearing").context["tabs"]
    assert "Rating life" in [tab["label"] for tab in tabs]


def test_the_number_of_queries_does_not_grow(
    engineer_client, django_assert_num_queries
):
    for age in PUMP_B:
        bearing(age)
    address = "/life/rating/?component=bearing"
    engineer_client.get(address)
    with django_assert_num_queries(17):
        engineer_client.get(address)
    for age in PUMP_B:
        bearing(age, designation="6311")
    with django_assert_num_queries(17):
        engineer_client.get(address)
