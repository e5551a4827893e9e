"""The Replacement view agrees with the library, and says when it does not pay."""

from decimal import Decimal

import pytest

from analytics.life.data import LifeData
from analytics.life.replacement import age_replacement
from analytics.life.replacement_range import age_replacement_range
from analytics.life.weibull import weibull_fit
from analytics.reports.life.costs import mean_repair_costs
from plant.choices import Component
from records.choices import Category, CostKind, Item
from records.selectors.lives import LifeFilter
from tests.analytics.seals_on_record import PUMP_A, rows_of, seals
from tests.conftest import logged_in
from tests.factories.plant import UserFactory
from tests.factories.records import CostLineFactory, RepairFactory

COSTS = "planned=3000&failure=15000"


def answer_of(client, query=COSTS):
    response = client.get(f"/life/replacement/?{query}")
    assert response.status_code == 200
    return response.context["answer"]


def test_age_and_saving_are_those_of_the_library(engineer_client):
    seals(PUMP_A)
    rows = rows_of(engineer_client.get(f"/life/replacement.csv?{COSTS}"))
    values = {(row["about"], row["figure"]): row for row in rows}
    fit = weibull_fit(LifeData(PUMP_A, [True] * 10))
    policy = age_replacement(fit.shape, fit.scale, 3_000, 15_000)
    doubt = age_replacement_range(fit, 3_000, 15_000)
    best, saving = values["policy", "best age"], values["policy", "saving"]
    assert float(best["value"]) == pytest.approx(policy.age)
    assert float(best["low"]) == pytest.approx(doubt.age_interval.low)
    assert float(saving["value"]) == pytest.approx(policy.saving)
    assert float(saving["high"]) == pytest.approx(doubt.saving_interval.high)


def test_wear_makes_it_worthwhile_in_words(engineer_client):
    seals(PUMP_A)
    assert answer_of(engineer_client).lead.startswith("Worthwhile: replacing at ")


def test_without_wear_it_is_not_worthwhile_and_why(engineer_client):
    seals([100, 300, 900, 2_000, 7_000, 20_000])
    answer = answer_of(engineer_client)
    assert answer.lead.startswith("Not worthwhile at the best estimate")
    assert "do not show that the chance of failing rises with age" in answer.lead
    assert answer.tiles[0]["value"] == "None"
    assert "none at the best estimate" in answer.tiles[0]["interval"]


def test_early_failures_that_are_sure_are_said_to_be(engineer_client):
    seals([10, 30, 90, 100, 200, 300, 700, 900, 2_000, 7_000, 20_000, 60_000])
    lead = answer_of(engineer_client).lead
    assert lead.startswith("Not worthwhile: run these parts to failure.")
    assert "The chance of failing does not rise with age" in lead


def test_an_assumed_shape_gives_no_age_to_set(engineer_client):
    seals([5_000, 9_000])
    lead = answer_of(engineer_client, "planned=1000&failure=9000").lead
    assert lead.startswith("Only if the assumed shape of 1.40 holds, replacing at")


def test_no_age_is_named_where_wear_is_not_shown(engineer_client):
    seals([1_000, 2_600, 3_000, 6_800, 9_000])
    answer = answer_of(engineer_client, "planned=1000&failure=60000")
    assert any("The interval of the shape spans 1" in one for one in answer.cautions)
    assert answer.lead.startswith("Not settled")


def test_a_failure_that_costs_no_more_is_not_worth_preventing(engineer_client):
    seals(PUMP_A)
    lead = answer_of(engineer_client, "planned=5000&failure=5000").lead
    assert "A failure costs no more than a planned change." in lead


def test_doubtful_wear_is_called_not_settled(engineer_client):
    seals([1_000, 2_600, 3_000, 6_800, 9_000])
    answer = answer_of(engineer_client, "planned=1000&failure=2500")
    assert answer.lead.startswith("Not settled: at the best estimate replacing at")
    assert any("The interval of the shape spans 1" in said for said in answer.cautions)


def test_nothing_is_assumed_about_costs(engineer_client):
    seals(PUMP_A)
    answer = answer_of(engineer_client, "")
    assert answer.lead.startswith("Type what both kinds of replacement cost")
    assert not answer.tiles
    assert not answer.rows


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ("planned=3000", "Type both costs, in the same currency."),
        ("planned=-1&failure=10", "greater than or equal to 0.01"),
    ],
)
def test_costs_that_make_no_sense_are_errors_beside_their_field(
    engineer_client, query, words
):
    seals(PUMP_A)
    response = engineer_client.get(f"/life/replacement/?{query}")
    assert words in response.content.decode()
    assert response.context["answer"] is None
    assert engineer_client.get(f"/life/replacement.csv?{query}").status_code == 400


def test_without_a_failure_no_age_is_named(engineer_client):
    seals([500], defect_detected=None, why_removed="planned", condition_found="good")
    assert "No life of this choice has failed yet" in answer_of(engineer_client).refusal


SEALS = LifeFilter(components=(Component.SEAL,))


def test_the_suggestion_is_the_mean_booked_repair_cost_of_the_item(engineer):
    for amount, category in ((1_000, "corrective"), (3_000, "corrective")):
        repair = RepairFactory(item=Item.SEAL, category=category)
        CostLineFactory(repair=repair, amount=Decimal(amount))
        CostLineFactory(
            repair=repair, amount=Decimal(9_999), kind=CostKind.LOST_PRODUCTION
        )
    planned = RepairFactory(item=Item.SEAL, category=Category.PREVENTIVE)
    CostLineFactory(repair=planned, amount=Decimal(500))
    other = RepairFactory(item=Item.THRUST_BEARING)
    CostLineFactory(repair=other, amount=Decimal(7_777))
    costs = mean_repair_costs(user=engineer, choice=SEALS)
    assert [(one.kind, one.currency, one.repairs, one.mean) for one in costs] == [
        ("corrective", "EUR", 2, Decimal(2_000)),
        ("planned", "EUR", 1, Decimal(500)),
    ]


def test_who_may_not_see_costs_gets_no_suggestion(db):
    repair = RepairFactory(item=Item.SEAL)
    CostLineFactory(repair=repair, amount=Decimal(1_234))
    seals(PUMP_A)
    page = logged_in(UserFactory(role="")).get(f"/life/replacement/?{COSTS}")
    assert page.status_code == 200
    assert page.context["answer"].hints == ()


def test_the_number_of_queries_does_not_grow(
    engineer_client, django_assert_num_queries
):
    seals(PUMP_A)
    repair = RepairFactory(item=Item.SEAL)
    CostLineFactory(repair=repair)
    address = f"/life/replacement/?{COSTS}"
    engineer_client.get(address)
    with django_assert_num_queries(16):
        engineer_client.get(address)
    seals(PUMP_A)
    CostLineFactory(repair=RepairFactory(item=Item.SEAL))
    with django_assert_num_queries(16):
        engineer_client.get(address)
