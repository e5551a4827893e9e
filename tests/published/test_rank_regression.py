"""Sources stand in the case file: NIST 8.2.2.1 and the 1983 Weibull handbook."""

import pytest

from analytics.life.data import LifeData
from analytics.life.ranks import median_ranks
from analytics.life.weibull import weibull_rank_regression
from tests.published.cases import case_data, published_cases

CASES = published_cases("rank_regression")


def sample(case):
    failures, suspensions = case["data"]["failures"], case["data"]["suspensions"]
    flags = [True] * len(failures) + [False] * len(suspensions)
    return LifeData(failures + suspensions, flags)


@pytest.mark.parametrize("case", CASES)
def test_ranks_agree(case):
    ranks = median_ranks(sample(case))
    ages, adjusted = zip(*case["expected"]["adjusted_ranks"], strict=True)
    assert ranks.ages.tolist() == list(ages)
    assert ranks.adjusted_rank == pytest.approx(adjusted, abs=1e-5)
    medians = [rank for _, rank in case["expected"]["median_ranks"]]
    assert ranks.median_rank == pytest.approx(medians, abs=1e-5)


@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize(("regress", "key"), [("y_on_x", "RRY"), ("x_on_y", "RRX")])
def test_lines_agree(case, regress, key):
    line = weibull_rank_regression(sample(case), regress)
    expected = case["expected"][key]
    assert line.shape == pytest.approx(expected["shape"], rel=1e-4)
    assert line.scale == pytest.approx(expected["scale"], rel=1e-4)
    assert line.r_squared == pytest.approx(case["expected"]["r_squared"], rel=1e-5)


def test_nist_slope_as_printed():
    case = case_data("rank_regression", "b1_nist_mrr")
    line = weibull_rank_regression(sample(case), "y_on_x")
    assert line.shape == pytest.approx(1.457519, abs=5e-7)


@pytest.mark.parametrize(
    ("identifier", "x_on_y", "y_on_x"),
    [
        ("seal_lives_a", (3.9427, 28995.0), (3.8863, 29051.0)),
        ("seal_lives_b", (2.1446, 7927.9), (2.1090, 7960.6)),
    ],
)
def test_pump_seal_lines(identifier, x_on_y, y_on_x):
    lives = LifeData(case_data("pump_seal_lives", identifier)["ages"], [True] * 10)
    for regress, (shape, scale) in (("x_on_y", x_on_y), ("y_on_x", y_on_x)):
        line = weibull_rank_regression(lives, regress)
        assert round(line.shape, 4) == shape
        assert round(line.scale, 1) == scale


def test_bearing_lines():
    case = case_data("weibull_maximum_likelihood", "a2_lieblein_zelen_bearings")
    lives = LifeData(case["data"]["failures"], [True] * 23)
    forward, back = (
        weibull_rank_regression(lives),
        weibull_rank_regression(lives, "y_on_x"),
    )
    assert (round(forward.shape, 4), round(forward.scale, 3)) == (2.2479, 80.972)
    assert (round(back.shape, 4), round(back.scale, 3)) == (2.1812, 81.578)
