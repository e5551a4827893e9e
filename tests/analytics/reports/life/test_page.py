"""The Life page says what the lives can carry, refuses in words, and hides nothing."""

import json

import pytest

from plant.choices import (
    Beginning,
    ConditionFitted,
    ConditionFound,
    WhyRemoved,
)
from tests.analytics.seals_on_record import (
    DAY,
    FAILED,
    FITTED,
    PUMP_A,
    PUMP_B,
    fitted,
    page_of,
    seals,
)
from tests.conftest import logged_in
from tests.factories.plant import (
    DutyPeriodFactory,
    FittedLifeFactory,
    PlacementFactory,
    UserFactory,
)


def test_an_empty_log_says_what_to_do_next(engineer_client):
    page = page_of(engineer_client)
    assert "No life on record meets this choice. Widen it, or import" in page


def test_the_figures_stand_with_sample_interval_and_meaning(engineer_client):
    seals(PUMP_A)
    page = page_of(engineer_client)
    for part in ("4.4281", "28,860.2", "17,361.5", "10 failed, 0 suspended, 0 left"):
        assert part in page
    assert "90 % interval" in page.replace("\xa0", " ")
    assert "Age by which 63.2 % of such parts have failed." in page
    assert "10 pumps and 10 positions in the fit" in page


def test_another_share_and_confidence_are_as_chosen(engineer_client):
    seals(PUMP_A)
    page = page_of(engineer_client, "?percent=5&confidence=95").replace("\xa0", " ")
    assert "B5 life" in page
    assert "95 % interval" in page


def test_wear_is_read_from_an_interval_above_one(engineer_client):
    seals(PUMP_A)
    assert "Wear: the older a part, the more it fails." in page_of(engineer_client)


def test_the_shape_cannot_be_told_when_its_interval_spans_one(engineer_client):
    seals([300, 2_000, 2_500, 9_000])
    page = page_of(engineer_client)
    assert "Cannot be told: the interval of the shape spans 1" in page
    assert "Only 4 failures: the shape is hardly known." in page


@pytest.mark.parametrize(
    ("ages", "words"),
    [
        ([2_000], "A shape needs at least 3 failures; this sample has 1."),
        ([2_000] * 5, "All 5 failures have the same age"),
    ],
)
def test_a_sample_that_carries_no_fit_is_refused_in_words(engineer_client, ages, words):
    seals(ages)
    page = page_of(engineer_client)
    assert words in page
    assert "Life at an assumed shape" in page


def test_without_a_failure_there_is_a_lower_bound(engineer_client):
    """Sum of ages 3 x 2,000 h at shape 1: 6,000 / -ln 0.05 = 2,002.8 h."""
    seals(
        [2_000] * 3,
        defect_detected=None,
        why_removed=WhyRemoved.PLANNED,
        condition_found=ConditionFound.GOOD,
    )
    page = page_of(engineer_client, "?shape=1")
    assert "this sample has 0. That is good news" in page
    assert "2,002.8 or more" in page


def test_lives_that_all_fall_out_are_refused_with_the_reason(engineer_client):
    fitted(2_000, beginning=Beginning.UNKNOWN)
    page = page_of(engineer_client)
    assert "No life of this choice can take part in a fit" in page
    assert "Beginning not known" in page


def test_a_mixture_of_parts_is_named_and_leads_to_each(engineer_client):
    seals(PUMP_A, part_number="LIFE-A")
    seals(PUMP_B, part_number="LIFE-B")
    page = page_of(engineer_client)
    assert "This sample mixes 2 parts (LIFE-A, LIFE-B)." in page
    assert "/life/?component=seal&amp;part=LIFE-B&amp;plan=" in page
    alone = page_of(engineer_client, "?part=LIFE-A")
    assert "This sample mixes" not in alone


def test_parts_fitted_repaired_are_kept_apart_and_said_so(engineer_client):
    seals(PUMP_A)
    seals([500, 700], condition_fitted=ConditionFitted.REPAIRED)
    page = page_of(engineer_client)
    assert "Kept apart as populations of their own: 2 lives fitted repaired." in page
    assert "4.4281" in page
    pooled = page_of(engineer_client, "?condition=all")
    assert "You pooled parts fitted in different conditions (new, repaired)" in pooled


def test_repeated_lives_of_one_position_are_said_to_depend(engineer_client):
    placement = PlacementFactory(placed_at=FITTED)
    for start, age in ((0, 100), (100, 220), (320, 90), (410, 300)):
        FittedLifeFactory(
            pump=placement.pump,
            position=placement.position,
            fitted_at=FITTED + start * DAY,
            removed_at=FITTED + (start + age) * DAY,
            **FAILED,
        )
    page = page_of(engineer_client, "?clock=days")
    assert "4 lives come from 1 position" in page


def test_estimated_hours_are_counted_and_can_be_left_out(engineer_client):
    seals(PUMP_A)
    duty = DutyPeriodFactory(running_share=0.5)
    placement = PlacementFactory(position=duty.position, placed_at=FITTED)
    FittedLifeFactory(
        pump=placement.pump,
        position=placement.position,
        fitted_at=FITTED,
        removed_at=FITTED + 100 * DAY,
        **FAILED,
    )
    assert "1 of 11 ages" in page_of(engineer_client)
    measured = page_of(engineer_client, "?measured=on")
    assert "Running hours only estimated" in measured
    assert "4.4281" in measured


def test_dead_on_fitting_is_counted_named_and_left_out(engineer_client):
    seals(PUMP_A)
    dead = fitted(0)
    page = page_of(engineer_client)
    assert "Failed before they had run" in page
    assert dead.pump.serial_number in page
    assert "10 failed, 0 suspended, 1 left out" in page


def test_pumps_in_service_without_an_open_life_are_listed(engineer_client):
    seals(PUMP_A)
    empty = PlacementFactory(position__tag="P-404")
    full = PlacementFactory(position__tag="P-200")
    FittedLifeFactory(pump=full.pump, position=full.position)
    page = page_of(engineer_client)
    assert "11 pumps at a position with no open life of this component." in page
    assert empty.position.tag in page
    assert full.position.tag not in page


def test_two_populations_stand_side_by_side_without_a_verdict(engineer_client):
    seals(PUMP_A, part_number="LIFE-A")
    seals(PUMP_B, part_number="LIFE-B")
    response = engineer_client.get("/life/?part=LIFE-A&compare_part=LIFE-B")
    page = response.content.decode()
    assert "Two populations side by side" in page
    assert "28,860.2" in page
    assert "7,858.3" in page
    assert "Two intervals side by side are no test" in page
    names = [trace["name"] for trace in response.context["plot"]["figure"]["data"]]
    assert "Fitted line, Seals, LIFE-A" in names
    assert "Fitted line, Seals, LIFE-B" in names


def test_the_plot_draws_every_failure_that_its_table_lists(engineer_client):
    seals(PUMP_B)
    plot = engineer_client.get("/life/").context["plot"]
    points = next(t for t in plot["figure"]["data"] if t["name"].startswith("Failures"))
    assert points["x"] == PUMP_B
    assert len(plot["rows"]) == len(PUMP_B)
    # Benard's median rank of the first of ten: 0.7 / 10.4.
    assert plot["rows"][0][1]["text"].startswith("6.7")
    json.dumps(plot["figure"])


@pytest.mark.parametrize("clock", ["days", "hours"])
def test_the_number_of_queries_does_not_grow(
    engineer_client, django_assert_num_queries, clock
):
    seals(PUMP_A)
    address = f"/life/?clock={clock}"
    engineer_client.get(address)
    with django_assert_num_queries(queries := (14 if clock == "days" else 19)):
        engineer_client.get(address)
    seals(PUMP_B)
    with django_assert_num_queries(queries):
        engineer_client.get(address)


def test_lives_of_another_site_are_not_seen(db):
    mine = seals(PUMP_A)
    for life in mine[1:]:
        type(life.pump).objects.filter(pk=life.pump_id).update(site=mine[0].pump.site)
    other = fitted(2_000, part_number="SECRET-1")
    user = UserFactory(sees_all_sites=False, role="reliability engineer")
    user.sites.add(mine[0].pump.site)
    client = logged_in(user)
    page = page_of(client)
    assert "4.4281" in page
    assert "SECRET-1" not in page
    assert client.get(f"/pumps/{other.pump_id}/lives/").status_code == 404


@pytest.mark.parametrize("address", ["/life/", "/life/lives.csv", "/life/results.csv"])
def test_the_pages_ask_for_a_log_in(client, address):
    response = client.get(address)
    assert response.status_code == 302
    assert response["Location"].startswith("/login/")
