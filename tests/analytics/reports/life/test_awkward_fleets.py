"""Fleets that no fit can carry give a sentence on every page, and no bare number."""

import re
from datetime import date, timedelta
from html import unescape

import pytest

from plant.choices import Beginning, Component, Location
from plant.models import FittedLife, Position, Site
from tests.analytics.seals_on_record import DAY, FAILED, FITTED, PUMP_A, fitted, seals

OUT = FITTED + 900 * DAY
VIEWS = ["", "distributions/", "comparison/", "replacement/", "forecast/"]
VIEWS += ["rating/", "drivers/", "results.csv", "distributions.csv"]
COSTS = "planned=1000&failure=9000"
NOT_A_NUMBER = re.compile(r"(?<![\w.])(nan|NaN|NaT|inf|-inf|Infinity)(?![\w.])")


def nothing():
    """An empty plant."""


def all_suspended():
    for _ in range(6):
        fitted()


def one_failure():
    seals([5_000])
    all_suspended()


def two_failures():
    seals([5_000, 9_000])


def three_failures():
    seals([5_000, 9_000, 9_500])


def all_equal():
    seals([8_000] * 6)


def zero_ages():
    seals([0.0] * 5)


def a_zero_among_others():
    seals([0.0, 0.0, *PUMP_A])


def giant_ages():
    for age in (1e9, 2e9, 3e9, 9e9):
        fitted(removed_at=OUT, fitted_hours=0.0, removed_hours=age, **FAILED)


def tiny_ages():
    for age in (1e-9, 2e-9, 5e-9, 9e-9):
        fitted(removed_at=OUT, fitted_hours=0.0, removed_hours=age, **FAILED)


def one_outlier():
    seals(PUMP_A)
    fitted(removed_at=OUT, fitted_hours=0.0, removed_hours=1e9, **FAILED)


def all_at_one_position():
    first = fitted(1_000)
    for place, hours in enumerate((900, 1_400, 700, 1_200), start=1):
        start = FITTED + place * 100 * DAY
        FittedLife.objects.create(
            pump=first.pump,
            position=first.position,
            component=Component.SEAL,
            location=Location.SEAL_SINGLE_INNER,
            part_number="MS-40",
            fitted_at=start,
            removed_at=start + timedelta(hours=hours),
            fitted_hours=0.0,
            removed_hours=float(hours),
            **FAILED,
        )


def all_entered_late():
    for hours in (5_000, 5_050, 5_100, 5_150):
        fitted(
            removed_at=OUT,
            fitted_hours=0.0,
            removed_hours=float(hours) - 4_990,
            beginning=Beginning.AGE_KNOWN,
            age_at_entry_hours=4_990.0,
            age_at_entry_days=900.0,
            **FAILED,
        )
    Site.objects.update(records_from=date(2020, 1, 1))


def seal_and_bearing_of_one_name():
    seals([4_000, 9_000, 15_000], part_number="X-1")
    for hours in (3_000, 6_000, 11_000):
        fitted(
            hours,
            component=Component.THRUST,
            location=Location.THRUST,
            part_number="",
            designation="X-1",
        )


def never_running():
    three_failures()
    fitted()
    Position.objects.update(in_service_on=None)


# What the Life page says of each, in the words that a reader gets.
FLEETS = {
    nothing: "No life on record meets this choice.",
    all_suspended: "That is good news, not a life",
    one_failure: "A shape needs at least 3 failures; this sample has 1.",
    two_failures: "A shape needs at least 3 failures; this sample has 2.",
    three_failures: "Only 3 failures: the shape is hardly known.",
    all_equal: "All 6 failures have the same age",
    zero_ages: "No life of this choice can take part in a fit",
    a_zero_among_others: "Failed before they had run",
    giant_ages: "Cannot be told: the interval of the shape spans 1",
    tiny_ages: "Cannot be told: the interval of the shape spans 1",
    one_outlier: "lies far beyond all others and carries the fit: check it.",
    all_at_one_position: "5 lives come from 1 position",
    all_entered_late: "Cannot be told: the interval of the shape spans 1",
    seal_and_bearing_of_one_name: "3 failed, 0 suspended, 0 left out",
    never_running: "Only 3 failures: the shape is hardly known.",
}


def words_of(response):
    """What a reader sees, or the file."""
    if response.streaming:
        return b"".join(response.streaming_content).decode()
    page = response.content.decode().partition("<main")[2]
    page = re.sub(r"<script.*?</script>|<select.*?</select>", "", page, flags=re.S)
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", page)))


@pytest.mark.parametrize("fleet", FLEETS, ids=lambda fleet: fleet.__name__)
def test_every_view_of_an_awkward_fleet_answers_without_a_broken_number(
    fleet, engineer_client
):
    fleet()
    said = {
        view: words_of(engineer_client.get(f"/life/{view}?{COSTS}")) for view in VIEWS
    }
    assert FLEETS[fleet] in said[""]
    for view, words in said.items():
        found = NOT_A_NUMBER.search(words)
        assert not found, (view, words[max(0, found.start() - 80) :][:160])


def test_lives_too_short_for_a_decimal_are_not_shown_as_none(engineer_client):
    tiny_ages()
    tiles = engineer_client.get("/life/").context["tiles"]
    assert not {"0.0", "0"} & {tile["value"] for tile in tiles}


def test_a_bearing_named_like_a_seal_is_another_population(engineer_client):
    seal_and_bearing_of_one_name()
    for component, mean in (("seal", 9_375), ("thrust bearing", 6_704)):
        question = {"part": "X-1", "component": component}
        page = engineer_client.get("/life/", question)
        tiles = {tile["label"]: tile["value"] for tile in page.context["tiles"]}
        shown = float(tiles["Mean life"].replace(",", ""))
        assert shown == pytest.approx(mean, rel=0.001)


@pytest.mark.parametrize("view", ["distributions", "comparison", "forecast"])
def test_the_file_of_a_refused_view_says_why(view, engineer_client):
    rows = words_of(engineer_client.get(f"/life/{view}.csv"))
    assert "No life on record meets this choice." in rows


def test_so_few_failures_rank_no_distribution(engineer_client):
    three_failures()
    words = words_of(engineer_client.get("/life/distributions/"))
    assert "Below 5 failures no distribution can be told apart." in words
    assert "Distributions, not ranked" in words
    assert "100 %" not in words
    assert "weight" not in words_of(engineer_client.get("/life/distributions.csv"))
