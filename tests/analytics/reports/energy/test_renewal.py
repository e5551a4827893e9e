"""Whether taking the wear away pays, put together from the pure sums."""

from decimal import Decimal

import pytest

from analytics.money.energy import efficiency_drop, yearly_cost_of_drop
from analytics.money.errors import InvalidFigure
from analytics.money.pump_reading import AsNew, PumpReading
from analytics.reports.energy.renewal import (
    RenewalQuestion,
    Work,
    renewal_answer,
    usual_work,
)
from plant.choices import ImpellerKind

WATER_KW = 6.537767
DROP = efficiency_drop(
    [PumpReading(60, 40, 1000, WATER_KW / share) for share in (0.59, 0.60, 0.61)],
    AsNew([(60, 0.70)]),
)


def question(**changes):
    usual = {
        "price_per_kwh": Decimal("0.10"),
        "hours_per_year": 8000.0,
        "motor_efficiency": 0.93,
        "work": Work.RENEW,
        "cost_of_work": Decimal("500"),
        "share_recovered": 0.9,
        "wear_years": 4.0,
        "horizon_years": 4.0,
    }
    return RenewalQuestion(**(usual | changes))


def test_saving_of_a_gain_that_fades_by_hand():
    """Ninety per cent of the cost, fading evenly over four years: S W / 2."""
    answer = renewal_answer(DROP, question())
    yearly = yearly_cost_of_drop(DROP, 8000, Decimal("0.10"), 0.93)
    assert answer.cost.value == pytest.approx(yearly.value)
    assert answer.cost.interval.low == pytest.approx(yearly.interval.low)
    assert answer.renewal.saving.value == pytest.approx(0.9 * yearly.value * 4 / 2)
    assert answer.renewal.verdict == "pays"
    low, high = (
        answer.renewal.payback_interval.low,
        answer.renewal.payback_interval.high,
    )
    assert low < answer.renewal.payback_years < high


@pytest.mark.parametrize(
    ("cost", "verdict"),
    [("500", "pays"), ("2850", "not clear"), ("9000", "does not pay")],
)
def test_the_verdict_follows_the_cost(cost, verdict):
    answer = renewal_answer(DROP, question(cost_of_work=Decimal(cost)))
    assert answer.renewal.verdict == verdict


def test_without_price_or_cost_there_is_no_verdict():
    assert renewal_answer(DROP, question(price_per_kwh=None)).cost is None
    answer = renewal_answer(DROP, question(cost_of_work=None))
    assert answer.cost is not None
    assert answer.renewal is None


def test_a_number_out_of_range_is_refused():
    with pytest.raises(InvalidFigure, match="no more than 8784 hours"):
        renewal_answer(DROP, question(hours_per_year=9000.0))


def test_a_closed_impeller_has_no_clearance_to_reset():
    assert usual_work(ImpellerKind.CLOSED) is Work.RENEW
    assert usual_work(ImpellerKind.SEMI_OPEN) is Work.RESET
    assert usual_work("") is Work.RESET
