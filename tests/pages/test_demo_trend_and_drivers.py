"""Trend and drivers find in the demo plant what its generator put there."""

import csv

import pytest

from plant.models import Area, User
from records.demo import truths
from tests.conftest import logged_in
from tests.demo_plant import END


@pytest.fixture
def client(demo, db):
    return logged_in(User.objects.get(username="engineer"))


def rows_of(client, address, **asked):
    answer = client.get(address, {"end": str(END), **asked})
    assert answer.status_code == 200
    return list(csv.DictReader(answer.getvalue().decode("utf-8-sig").splitlines()))


def drivers(client, **asked):
    rows = rows_of(client, "/life/drivers/export.csv", **asked)
    return {row["level"]: row for row in rows if row["ratio_of_life"]}


@pytest.mark.parametrize("clock", ["hours", "days"])
def test_the_cooled_flush_lengthens_seal_life_in_the_hot_area(client, clock):
    area = Area.objects.get(name=truths.PLAN_CHANGE_AREA)
    found = drivers(client, area=area.pk, covariate="plan", clock=clock)["21"]
    assert found["instead_of"] == "11"
    assert float(found["low"]) > 1
    # The flush doubles the life in the generator.
    assert float(found["low"]) < 2 < float(found["high"])
    assert found["in_words"].startswith("Plan 21 instead of 11: life 1.")


def test_dual_seals_that_change_nothing_do_not_stand_out(client):
    found = drivers(client, covariate="plan")["53A"]
    assert found["stands_out"] == "no"
    assert float(found["low"]) < 1 < float(found["high"])


@pytest.mark.parametrize("tag", truths.BAD_ACTORS)
def test_bad_actors_stay_bad_without_a_trend(client, tag):
    asked = {"position": tag, "end": str(END)}
    page = client.get("/trend/", asked)
    report = page.context["report"]
    assert report.verdict.direction == ""
    assert "No trend can be told" in page.content.decode()
    shape = report.verdict.power_law.shape_interval
    assert shape.low < 1 < shape.high
    peers = report.peers.curve
    assert report.group.events > 5 * peers.upper[-1]


def test_the_fleet_as_a_whole_has_no_trend_and_no_position_stands_out(client):
    report = client.get("/trend/", {"end": str(END)}).context["report"]
    assert report.group.positions == 160
    assert report.verdict.direction == ""
    assert not any(row.stands_out for row in report.positions)


def test_the_unlucky_pump_is_a_hint_and_no_finding(client):
    page = client.get("/trend/", {"position": "P-1205A", "end": str(END)})
    text = page.content.decode()
    assert "Repairs come faster" in text
    assert "take it as a hint, not as a finding" in text
