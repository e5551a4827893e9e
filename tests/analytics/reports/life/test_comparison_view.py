"""The Compare view gives the library's verdict, in words, and says its limits."""

from datetime import timedelta

import pytest

from analytics.life.compare import weibull_likelihood_ratio
from analytics.life.data import LifeData
from tests.analytics.seals_on_record import (
    DAY,
    FITTED,
    PUMP_A,
    PUMP_B,
    rows_of,
    seals,
)


def answer_of(client, query=""):
    response = client.get(f"/life/comparison/?{query}")
    assert response.status_code == 200
    return response.context["answer"]


def data(ages):
    return LifeData(ages, [True] * len(ages))


@pytest.fixture
def two_parts(db):
    seals(PUMP_A, part_number="LIFE-A")
    seals(PUMP_B, part_number="LIFE-B")


def test_the_verdict_is_that_of_the_library(engineer_client, two_parts):
    rows = rows_of(engineer_client.get("/life/comparison.csv"))
    test = weibull_likelihood_ratio(data(PUMP_A), data(PUMP_B))
    values = {(row["figure"], row["method"]): row["value"] for row in rows}
    assert float(values["statistic", "permutation"]) == pytest.approx(test.statistic)
    assert float(values["p-value", "permutation"]) == pytest.approx(test.p_value)
    by_chi_square = test.p_value_chi_square
    assert float(values["p-value", "chi-square"]) == pytest.approx(by_chi_square)


def test_a_difference_is_said_with_which_lasts_longer(engineer_client, two_parts):
    lead = answer_of(engineer_client).lead
    assert lead.startswith("The lives differ: LIFE-A lasts longer")
    assert "below 0.001" in lead
    assert "do not say what made the difference" in lead


def test_lives_that_differ_in_their_shape_alone_name_no_longest(engineer_client):
    wide = [300, 900, 2_000, 4_000, 7_000, 11_000, 17_000, 26_000, 40_000, 70_000]
    close = [15_000, 16_000, 17_000, 17_500, 18_000, 18_500, 19_000, 20_000, 21_000]
    seals(wide, part_number="WIDE")
    seals(close, part_number="CLOSE")
    lead = answer_of(engineer_client).lead
    assert lead.startswith("The lives differ, but which lasts longest is open")
    assert "the intervals of these overlap" in lead


def test_the_ratio_of_lives_has_its_interval(engineer_client, two_parts):
    table = answer_of(engineer_client).tables[2]
    assert table["caption"] == "Ratio of characteristic lives at a common shape"
    assert "90" in table["rows"][0][3]["text"]


def test_equal_lives_are_no_difference_and_no_proof(engineer_client):
    seals(PUMP_A, part_number="LIFE-A")
    seals(PUMP_A, part_number="LIFE-C")
    lead = answer_of(engineer_client).lead
    assert lead.startswith("No difference shown between LIFE-A and LIFE-C")
    assert "That is no proof that they are equal" in lead


@pytest.mark.parametrize(
    ("split", "facts"),
    [
        ("piping_plan", [{"piping_plan": "11"}, {"piping_plan": "53A"}]),
        ("liquid", [{"liquid": "brine"}, {"liquid": "water"}]),
        ("part", [{"part_number": "X-1"}, {"part_number": "X-2"}]),
    ],
)
def test_a_population_is_parted_by_what_was_asked(engineer_client, split, facts):
    seals(PUMP_A, **facts[0])
    seals(PUMP_B, **facts[1])
    rows = answer_of(engineer_client, f"split={split}").tables[0]["rows"]
    wanted = {next(iter(fact.values())) for fact in facts}
    assert {row[0]["text"] for row in rows} == wanted


def test_areas_are_compared_by_name(engineer_client):
    for name, ages in (("North", PUMP_A), ("South", PUMP_B)):
        lives = seals(ages)
        area = lives[0].position.area
        type(area).objects.filter(pk=area.pk).update(name=name)
        for life in lives:
            life.position.area = area
            life.position.save()
    rows = answer_of(engineer_client, "split=area_id").tables[0]["rows"]
    assert sorted(row[0]["text"].split(": ")[1] for row in rows) == ["North", "South"]


def test_before_and_after_a_date_need_both_ways_of_judging(engineer_client):
    seals(PUMP_B)
    late = FITTED + timedelta(days=700)
    seals(PUMP_A, fitted_at=late, removed_at=late + 5 * DAY)
    answer = answer_of(engineer_client, "split=fitted&changed_on=2021-01-01")
    names = [row[0]["text"] for row in answer.tables[0]["rows"]]
    assert names == ["Fitted before 2021-01-01", "Fitted from 2021-01-01 on"]
    assert "Fitted from 2021-01-01 on lasts longer" in answer.lead
    assert "only if the chi-square says so too" in answer.words[0]


def test_a_date_is_asked_for_where_it_is_missing(engineer_client, two_parts):
    response = engineer_client.get("/life/comparison/?split=fitted")
    assert "Type the date of the change." in response.content.decode()


def test_at_most_four_groups_are_compared_and_the_others_named(engineer_client):
    for name in "VWXYZ":
        seals(PUMP_B, part_number=name)
    answer = answer_of(engineer_client)
    assert len(answer.tables[0]["rows"]) == 4
    assert any("Not compared: 1 smaller group" in said for said in answer.words)
    chosen = answer_of(engineer_client, "group=Z&group=V")
    assert [row[0]["text"] for row in chosen.tables[0]["rows"]] == ["V", "Z"]


def test_more_than_four_groups_are_refused(engineer_client, two_parts):
    query = "&".join(f"group={name}" for name in "VWXYZ")
    response = engineer_client.get(f"/life/comparison/?{query}")
    assert "Choose at most 4 groups." in response.content.decode()


def test_a_comparison_asked_for_on_the_life_page_is_judged_here(
    engineer_client, two_parts
):
    lead = answer_of(engineer_client, "part=LIFE-A&compare_part=LIFE-B").lead
    assert "Seals, LIFE-A lasts longer" in lead


@pytest.mark.parametrize(
    ("ages", "words"),
    [
        ([PUMP_A], "This choice holds one such group only"),
        ([PUMP_A, [500, 900]], "Fewer than two of these groups carry a fit"),
    ],
)
def test_what_cannot_be_compared_is_refused_in_words(engineer_client, ages, words):
    for name, lives in zip("XY", ages, strict=False):
        seals(lives, part_number=name)
    assert words in answer_of(engineer_client).refusal


def test_repeated_positions_are_said_to_weaken_the_test(engineer_client, two_parts):
    lives = seals([3_000], part_number="LIFE-B")
    first = type(lives[0]).objects.filter(part_number="LIFE-B").first()
    type(first).objects.filter(pk=lives[0].pk).update(position=first.position)
    said = " ".join(answer_of(engineer_client).words)
    assert "Some positions gave several lives." in said


def test_the_number_of_queries_does_not_grow(
    engineer_client, django_assert_num_queries, two_parts
):
    address = "/life/comparison/?split=area_id"
    engineer_client.get(address)
    with django_assert_num_queries(16):
        engineer_client.get(address)
    seals(PUMP_A)
    with django_assert_num_queries(16):
        engineer_client.get(address)
