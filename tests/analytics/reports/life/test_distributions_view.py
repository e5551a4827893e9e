"""The Other distributions view ranks as the library does, and says when it cannot."""

import numpy as np
import pytest

from analytics.life.data import LifeData
from analytics.life.distributions import compare_distributions
from tests.analytics.seals_on_record import PUMP_A, rows_of, seals


def answer_of(client, query=""):
    response = client.get(f"/life/distributions/?{query}")
    assert response.status_code == 200
    return response.context["answer"]


def test_the_ranking_is_that_of_the_library(engineer_client):
    seals(PUMP_A)
    found = compare_distributions(LifeData(PUMP_A, [True] * 10))
    rows = rows_of(engineer_client.get("/life/distributions.csv"))
    values = [
        (row["about"], float(row["value"])) for row in rows if row["figure"] == "AICc"
    ]
    assert [name for name, _ in values] == [one.name for one in found.candidates]
    assert [aicc for _, aicc in values] == pytest.approx(
        [one.aicc for one in found.candidates]
    )


def test_what_the_data_cannot_tell_apart_is_said(engineer_client):
    seals(PUMP_A)
    assert answer_of(engineer_client).lead.startswith("The data cannot tell ")


def test_a_clear_winner_is_named_with_advice(engineer_client):
    ages = 5_000 * (-np.log1p(-(np.arange(300) + 0.5) / 300)) ** (1 / 5)
    seals([float(age) for age in ages[::4]])
    answer = answer_of(engineer_client)
    assert answer.lead.startswith("The Weibull fits clearly best.")
    assert "stand on sound ground" in answer.lead


def test_the_curves_stand_against_the_steps(engineer_client):
    seals(PUMP_A)
    chart = answer_of(engineer_client).charts[0]
    names = [trace["name"] for trace in chart["figure"]["data"]]
    assert {"Weibull", "gamma", "as observed (Kaplan-Meier)"} <= set(names)
    assert len(chart["rows"]) == len(set(PUMP_A))


@pytest.mark.parametrize(
    ("ages", "words"),
    [
        ([2_000], "needs at least 3 failures; this sample has 1."),
        ([2_000] * 4, "All failures have the same age"),
        ([], "No life on record meets this choice."),
    ],
)
def test_what_cannot_be_ranked_is_refused_in_words(engineer_client, ages, words):
    seals(ages)
    assert words in answer_of(engineer_client).refusal


def test_the_number_of_queries_does_not_grow(
    engineer_client, django_assert_num_queries
):
    seals(PUMP_A)
    engineer_client.get("/life/distributions/")
    with django_assert_num_queries(15):
        engineer_client.get("/life/distributions/")
    seals(PUMP_A)
    with django_assert_num_queries(15):
        engineer_client.get("/life/distributions/")
