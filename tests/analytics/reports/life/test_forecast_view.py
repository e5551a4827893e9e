"""The Forecast view agrees with the library and names what it does not see."""

import pytest

from analytics.life.data import LifeData
from analytics.life.forecast import expected_failures
from analytics.life.weibull import weibull_fit
from plant.choices import Beginning
from tests.analytics.seals_on_record import FITTED, fitted, rows_of, seals
from tests.factories.plant import DutyPeriodFactory, PlacementFactory

AS_OF = "2022-12-31"
# 2020-01-01 to the end of 2022-12-31, in hours.
AGE = 26_304.0
YEAR = 8_766.0


def running(share=1.0, **facts):
    """A seal still in since FITTED, at a position that runs this share of time."""
    life = fitted(**facts)
    DutyPeriodFactory(position=life.position, running_share=share)
    return life


def page_of(client, query=""):
    response = client.get(f"/life/forecast/?as_of={AS_OF}&{query}")
    assert response.status_code == 200
    return response


def answer_of(client, query=""):
    return page_of(client, query).context["answer"]


@pytest.fixture
def failed(db):
    # The meter tells the hours; the calendar between does not have to.
    lives = seals([2_000, 3_800, 4_600, 5_000, 6_700, 7_500, 7_800, 8_000, 9_000])
    return [life.removed_hours for life in lives]


def test_the_figures_are_those_of_the_library(engineer_client, failed):
    running(0.5)
    rows = rows_of(engineer_client.get(f"/life/forecast.csv?as_of={AS_OF}"))
    values = {(row["about"], row["figure"]): row for row in rows}
    age = 0.5 * AGE
    fit = weibull_fit(LifeData([*failed, age], [True] * len(failed) + [False]))
    expected = expected_failures([age], fit, [0.5 * YEAR])
    year = values["next 12 months", "expected failures"]
    assert float(year["value"]) == pytest.approx(expected.expected, rel=1e-6)
    assert float(year["low"]) == expected.interval.low
    assert float(year["high"]) == expected.interval.high
    spares = values["next 12 months", "spares for 95%"]
    assert int(spares["value"]) == expected.stock(0.95)
    chance = next(r for r in rows if r["figure"] == "chance to fail within 12 months")
    exact = fit.conditional_failure_estimate(age, 0.5 * YEAR)
    assert float(chance["value"]) == pytest.approx(exact.value)
    assert float(chance["low"]) == pytest.approx(exact.interval.low)


def test_the_page_lists_the_likeliest_first_with_links(engineer_client, failed):
    slow, fast = running(0.1), running(1.0)
    table = answer_of(engineer_client).tables[1]
    assert [row[0]["text"] for row in table["rows"]] == [
        fast.position.tag,
        slow.position.tag,
    ]
    assert table["rows"][0][0]["url"] == f"/positions/{fast.position_id}/"
    assert table["rows"][0][4]["url"] == f"/pumps/{fast.pump_id}/"


def test_more_certainty_takes_more_spares(engineer_client, failed):
    for _ in range(6):
        running()
    row = answer_of(engineer_client).tables[0]["rows"][1]
    stocks = [int(cell["text"]) for cell in row[1:]]
    assert stocks == sorted(stocks)
    assert stocks[0] >= 1


def test_lives_that_do_not_run_or_have_no_age_are_named(engineer_client, failed):
    running()
    in_store = running()
    in_store.pump.placements.update(removed_at=FITTED)
    running(beginning=Beginning.UNKNOWN)
    gone = running()
    type(gone.position).objects.filter(pk=gone.position_id).update(
        out_of_service_on="2022-01-01"
    )
    running(0.0)
    said = " ".join(answer_of(engineer_client).words)
    assert "3 lives in pumps in the store, at positions out of service" in said
    assert "1 life still in, of which the age is not known" in said
    assert len(answer_of(engineer_client).tables[1]["rows"]) == 1


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ("clock=starts", "The log does not know how many starts lie ahead."),
        ("part=MS-99", "No life of this choice has failed yet"),
        ("", "No life of this choice is in service at a position"),
    ],
)
def test_what_cannot_be_forecast_is_refused_in_words(
    engineer_client, failed, query, words
):
    if query.startswith("part"):
        running(part_number="MS-99")
    assert words in answer_of(engineer_client, query).refusal


def test_a_part_fitted_today_can_fail_from_today_on(engineer_client, failed):
    life = running()
    type(life).objects.filter(pk=life.pk).update(fitted_at="2022-12-31T23:59:59Z")
    table = answer_of(engineer_client).tables[1]
    assert table["rows"][0][3]["text"] == "0"


def test_few_failures_forecast_from_an_assumed_shape_and_say_so(engineer_client):
    fitted(2_000)
    running()
    answer = answer_of(engineer_client, "shape=2")
    assert "stands on an assumed shape of 2" in answer.cautions[0]
    assert answer.tiles


def test_days_ahead_are_days_on_the_calendar_clock(engineer_client, failed):
    running(0.5)
    rows = rows_of(engineer_client.get(f"/life/forecast.csv?as_of={AS_OF}&clock=days"))
    age = next(row for row in rows if row["figure"] == "age")
    assert float(age["value"]) == pytest.approx(AGE / 24)
    assert age["unit"] == "d"


@pytest.mark.parametrize("clock", ["days", "hours"])
def test_the_number_of_queries_does_not_grow(
    engineer_client, django_assert_num_queries, failed, clock
):
    running()
    address = f"/life/forecast/?clock={clock}"
    engineer_client.get(address)
    with django_assert_num_queries(queries := (13 if clock == "days" else 18)):
        engineer_client.get(address)
    for _ in range(5):
        running()
        PlacementFactory()
    with django_assert_num_queries(queries):
        engineer_client.get(address)
