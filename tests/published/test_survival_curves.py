"""Sources stand in the case file: NIST 8.2.1.5, Miller, Nelson; checked by R."""

import pytest

from analytics.life.data import LifeData
from analytics.life.survival import kaplan_meier, nelson_aalen
from tests.published.cases import case_data, published_cases

CASES = published_cases("survival_curves")


def sample(case):
    failures, suspensions = case["data"]["failures"], case["data"]["suspensions"]
    flags = [True] * len(failures) + [False] * len(suspensions)
    return LifeData(failures + suspensions, flags)


def column(case, name):
    return [row[name] for row in case["expected"]["table"]]


@pytest.mark.parametrize("case", CASES)
def test_kaplan_meier_agrees(case):
    curve = kaplan_meier(sample(case), confidence=0.95)
    assert curve.time.tolist() == column(case, "t")
    assert curve.at_risk.tolist() == column(case, "at_risk")
    assert curve.failures.tolist() == column(case, "d")
    assert curve.reliability == pytest.approx(column(case, "S"), abs=1e-6)
    assert curve.standard_error == pytest.approx(column(case, "greenwood_se"), abs=1e-5)
    limits = column(case, "ci95_loglog")
    assert curve.lower == pytest.approx([low for low, _ in limits], abs=1e-5)
    assert curve.upper == pytest.approx([high for _, high in limits], abs=1e-5)


@pytest.mark.parametrize("case", CASES)
def test_nelson_aalen_agrees(case):
    curve = nelson_aalen(sample(case))
    assert curve.hazard == pytest.approx(column(case, "NA_cumhaz"), abs=1e-6)
    assert curve.standard_error == pytest.approx(column(case, "NA_se"), abs=1e-5)


def test_nist_survival_as_printed():
    case = case_data("survival_curves", "c1_nist_km")
    curve = kaplan_meier(sample(case))
    assert curve.reliability[-1] == pytest.approx(
        case["expected"]["published"]["S_at_181"], abs=5e-7
    )


def test_small_seal_sample():
    lives = LifeData([2200, 3800, 4600, 5000, 6700, 7500], [1, 0, 1, 0, 1, 1])
    assert kaplan_meier(lives).reliability == pytest.approx(
        [0.833333, 0.625, 0.3125, 0.0], abs=5e-7
    )
    assert nelson_aalen(lives).hazard == pytest.approx(
        [0.166667, 0.416667, 0.916667, 1.916667], abs=5e-7
    )
