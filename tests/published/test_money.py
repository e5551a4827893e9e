"""Sources stand in the case file: engineering economics, NIST Handbook 135."""

from itertools import accumulate

import pytest

from analytics.money.discounting import (
    annuity_factor,
    annuity_payment,
    discount_factor,
    net_present_value,
    present_value,
    savings_to_investment,
)
from analytics.money.internal_rate import internal_rate
from analytics.money.life_cycle_cost import Element, ElementCost, life_cycle_cost
from analytics.money.payback import discounted_payback, simple_payback
from tests.published.cases import case_data, published_cases

TOPIC = "money/discounting"
CASES = ["j1_present_value", "j2_discount_factors", "j3_npv_irr_payback"]
J1, J2, J3 = (case_data(TOPIC, name) for name in CASES)


def test_every_case_of_the_file_is_used():
    assert [one.values[0]["id"] for one in published_cases(TOPIC)] == CASES


def test_present_values_agree_to_the_printed_digits():
    data, expected = J1["data"], J1["expected"]
    rate, years = data["rate"], data["years"]
    series = present_value([data["annual"]] * years, rate)
    single = data["single"] * discount_factor(rate, years)
    assert round(series, 1) == expected["published"]["series"]
    assert round(single, 2) == expected["published"]["single"]
    assert series == pytest.approx(expected["series_PV"], rel=1e-9)
    assert single == pytest.approx(expected["single_PV"], rel=1e-9)


def test_factors_agree_to_the_printed_digits():
    rate, expected = J2["data"]["rate"], J2["expected"]
    assert round(discount_factor(rate, 12), 3) == expected["published"]["SPV12"]
    assert round(discount_factor(rate, 20), 3) == expected["published"]["SPV20"]
    assert round(annuity_factor(rate, 20), 2) == expected["published"]["UPV20"]
    assert discount_factor(rate, 12) == pytest.approx(expected["SPV12"], rel=1e-6)
    assert discount_factor(rate, 20) == pytest.approx(expected["SPV20"], rel=1e-6)
    assert annuity_factor(rate, 20) == pytest.approx(expected["UPV20"], rel=1e-6)


def test_seal_upgrade_agrees():
    flows, rate, expected = J3["data"]["cash_flows"], J3["data"]["rate"], J3["expected"]
    years = len(flows) - 1
    worth = net_present_value(flows, rate)
    assert worth == pytest.approx(expected["NPV"], rel=1e-9)
    assert internal_rate(flows) == pytest.approx(expected["IRR"], abs=5e-8)
    assert savings_to_investment(flows, rate) == pytest.approx(
        expected["SIR"], rel=1e-6
    )
    assert annuity_payment(-flows[0], rate, years) == pytest.approx(
        expected["equivalent_annual_cost"], rel=1e-6
    )


def test_simple_payback_agrees():
    payback = simple_payback(J3["data"]["cash_flows"])
    assert payback.years == pytest.approx(
        J3["expected"]["simple_payback_years"], rel=1e-6
    )


@pytest.mark.parametrize("convention", ["continuous", "interpolated", "whole_years"])
def test_discounted_payback_agrees_in_each_convention(convention):
    flows, rate = J3["data"]["cash_flows"], J3["data"]["rate"]
    payback = discounted_payback(flows, rate, convention=convention)
    expected = J3["expected"][f"discounted_payback_{convention}"]
    assert payback.years == pytest.approx(expected, abs=1e-6)


def test_life_cycle_cost_of_a_saving_is_its_present_value():
    """The same case as a life-cycle cost: spent today, saved each year."""
    flows, rate = J3["data"]["cash_flows"], J3["data"]["rate"]
    costs = [
        ElementCost(Element.PURCHASE, today=-flows[0]),
        ElementCost(Element.MAINTENANCE, yearly=[-flow for flow in flows[1:]]),
    ]
    cost = life_cycle_cost(costs, len(flows) - 1, rate)
    assert cost.total == pytest.approx(-J3["expected"]["NPV"], rel=1e-9)
    assert list(accumulate(cost.by_year)) == pytest.approx(
        [-total for total in accumulate(flows)]
    )


def test_series_of_thirty_years_as_life_cycle_cost():
    data, expected = J1["data"], J1["expected"]
    costs = [
        ElementCost(Element.ENERGY, yearly=data["annual"]),
        ElementCost(Element.DISPOSAL, at_end=data["single"]),
    ]
    cost = life_cycle_cost(costs, data["years"], data["rate"])
    found = cost.by_element
    assert found[Element.ENERGY] == pytest.approx(expected["series_PV"], rel=1e-9)
    assert found[Element.DISPOSAL] == pytest.approx(expected["single_PV"], rel=1e-9)
