"""The pages find in the demo plant what its generator put there."""

import csv

import pytest
from django.http import HttpResponse

from analytics.exposure import window_of_months
from analytics.reports.bad_actors.report import Unit, UnitKind, bad_actor_report
from analytics.reports.fleet.likely import likely_failures
from analytics.scope import Scope
from plant.models import Area, User
from records.demo import parts, truths
from tests.conftest import logged_in
from tests.demo_plant import END

# Ordinary pump with three repairs in the last year, named by the generator.
UNLUCKY = "P-1205A"


@pytest.fixture
def demo_engineer(demo, db):
    return User.objects.get(username="engineer")


def units_of(user: User, kind: UnitKind, months: int) -> dict[str, Unit]:
    scope = Scope(user, window_of_months(END, months))
    return {unit.label: unit for unit in bad_actor_report(scope, kind).units}


def flagged(user: User, kind: UnitKind, months: int) -> set[str]:
    units = units_of(user, kind, months)
    return {label for label, unit in units.items() if unit.is_flagged}


def life_figures(user: User, **choice: str) -> dict[str, dict[str, float]]:
    """Figures of the Life page's export, by name."""
    answer = logged_in(user).get("/life/results.csv", choice | {"confidence": "95"})
    assert answer.status_code == 200
    rows = csv.DictReader(answer.getvalue().decode("utf-8-sig").splitlines())
    return {
        row["figure"]: {
            name: float(row[name]) for name in ("value", "low", "high") if row[name]
        }
        for row in rows
    }


def holds(figure: dict[str, float], truth: float) -> bool:
    return figure["low"] <= truth <= figure["high"]


@pytest.mark.parametrize("months", [12, 24, 36])
def test_exactly_the_true_bad_actors_are_flagged(demo_engineer, months):
    found = flagged(demo_engineer, UnitKind.POSITION, months)
    assert found == set(truths.BAD_ACTORS)


def test_the_true_bad_actors_lead_the_parts_likely_to_fail(demo_engineer):
    found = likely_failures(Scope(demo_engineer, window_of_months(END, 12)))
    first, second = found.parts[:2]
    assert {first.tag, second.tag} <= set(truths.BAD_ACTORS)
    assert second.chance > 0.8 > 0.5 > found.parts[2].chance


def test_the_unlucky_pump_had_three_repairs_and_is_let_go(demo_engineer):
    unlucky = units_of(demo_engineer, UnitKind.POSITION, 12)[UNLUCKY]
    assert unlucky.repairs >= 3
    assert not unlucky.is_flagged


def test_the_travelling_pull_out_is_found_as_a_machine_and_on_no_tag(demo_engineer):
    assert truths.TRAVELLER in flagged(demo_engineer, UnitKind.MACHINE, 36)
    tags = flagged(demo_engineer, UnitKind.POSITION, 36)
    assert tags.isdisjoint(truths.TRAVEL_TAGS)


def bad_actors(user: User, **choice: str) -> HttpResponse:
    question = {"end": str(END), "months": "36"} | choice
    answer = logged_in(user).get("/bad-actors/", question)
    assert answer.status_code == 200
    return answer


def test_the_page_names_the_travelling_pull_out_and_its_tags(demo_engineer):
    page = bad_actors(demo_engineer, unit="pump")
    found = {row[0]["text"]: row[2]["text"] for row in page.context["travellers"]}
    assert set(found) == {truths.TRAVELLER}
    for tag in truths.TRAVEL_TAGS:
        assert tag in found[truths.TRAVELLER]


@pytest.mark.parametrize("months", ["12", "36"])
def test_the_page_names_the_standby_pump_that_dies_on_starting(demo_engineer, months):
    page = bad_actors(demo_engineer, months=months)
    assert [row[0]["text"] for row in page.context["starters"]] == [truths.COLD_STARTS]


def test_the_flagged_are_no_news_and_no_area_is_bad_as_a_whole(demo_engineer):
    page = bad_actors(demo_engineer)
    assert {row[1]["flag"] for row in page.context["flagged"]} == {"still flagged"}
    assert page.context["families"] == []


def test_the_seal_that_wears_out_shows_its_true_life(demo_engineer):
    figures = life_figures(demo_engineer, part="S-4101")
    assert figures["Shape"]["low"] > 1
    assert holds(figures["Shape"], parts.WEARS_OUT.life.shape)
    assert holds(figures["Characteristic life"], parts.WEARS_OUT.life.scale)


def test_the_bearing_that_water_kills_shows_its_true_life(demo_engineer):
    figures = life_figures(demo_engineer, part="6311")
    assert holds(figures["Shape"], parts.RADIAL_WET.life.shape)
    assert holds(figures["Characteristic life"], parts.RADIAL_WET.life.scale)


def test_poor_alignment_shows_as_early_failures(demo_engineer):
    area = Area.objects.get(name="Chlorination")
    figures = life_figures(demo_engineer, part="S-4102", area=str(area.pk))
    assert figures["Shape"]["high"] < 1


def test_the_cooled_flush_doubled_seal_life(demo_engineer):
    before = life_figures(demo_engineer, part="S-4103", plan="11")
    after = life_figures(demo_engineer, part="S-4103", plan="21")
    assert after["Characteristic life"]["low"] > before["Characteristic life"]["value"]
    assert holds(before["Characteristic life"], parts.HOT.life.scale)
    assert holds(after["Characteristic life"], parts.HOT.life.scale * 2)
