import numpy as np
import pandas as pd
import pytest
from scipy import stats

from analytics.life.data import LifeData
from analytics.life.drivers import life_drivers
from analytics.life.errors import CovariateRefused, InvalidSample, TooFewFailures
from analytics.life.weibull import weibull_fit


def fleet(seed=0, n=400, ratio=2.0, late=0.3, repeats=1):
    """Seal lives: plan 32 stretches life, heat shortens it, colour does nothing."""
    generator = np.random.default_rng(seed)
    plan = generator.choice(["11", "32"], n, p=[0.65, 0.35])
    heat = generator.normal(80.0, 20.0, n)
    scale = 10_000.0 * np.where(plan == "32", ratio, 1.0)
    scale *= np.exp(-0.2 * (heat - 80.0) / 20.0)
    effect = np.repeat(generator.normal(0, 0.4 * (repeats > 1), n // repeats), repeats)
    ages = scale * np.exp(effect) * generator.weibull(1.5, n)
    entries = np.where(
        generator.uniform(size=n) < late, generator.uniform(0, 3000, n), 0.0
    )
    table = pd.DataFrame(
        {
            "age": np.minimum(ages, 15_000.0),
            "failed": ages < 15_000.0,
            "entry_age": entries,
            "position": np.repeat(np.arange(n // repeats), repeats),
            "plan": plan,
            "temperature": heat,
            "colour": generator.choice(["blue", "grey"], n),
        }
    )
    return table[table["age"] > table["entry_age"]].reset_index(drop=True)


def driver(result, name):
    return next(d for d in result.drivers if d.name == name)


def test_planted_effects_are_found_and_the_others_not():
    result = life_drivers(fleet())
    plan, heat, colour = (
        driver(result, name) for name in ("plan", "temperature", "colour")
    )
    assert (plan.level, plan.against) == ("32", "11")
    assert 2.0 in plan.interval
    assert plan.stands_out
    assert np.exp(-0.2 * heat.step / 20.0) in heat.interval
    assert heat.stands_out
    assert not colour.stands_out
    assert pytest.approx(result.shape, rel=0.1) == 1.5
    assert result.warnings == ()


def test_one_factor_equals_separate_scales_with_one_shape():
    table = fleet(3)[["age", "failed", "plan"]]
    result = life_drivers(table)
    samples = [
        LifeData(rows["age"], rows["failed"])
        for _, rows in table.groupby("plan", sort=True)
    ]
    ratio = weibull_fit(samples[1]).scale / weibull_fit(samples[0]).scale
    assert driver(result, "plan").ratio == pytest.approx(ratio, rel=0.05)


def test_hours_or_days_give_the_same_ratios():
    table = fleet(4)
    days = table.assign(age=table["age"] / 24, entry_age=table["entry_age"] / 24)
    for one, other in zip(
        life_drivers(table).drivers, life_drivers(days, unit="d").drivers, strict=True
    ):
        assert other.ratio == pytest.approx(one.ratio, rel=1e-4)
        assert other.proportional_p_value == pytest.approx(
            one.proportional_p_value, abs=1e-3
        )


def test_collinear_and_empty_columns_are_refused_by_name():
    table = fleet(1)
    table["fahrenheit"] = 1.8 * table["temperature"] + 32.0
    table["blank"] = np.nan
    table["same"] = 7
    result = life_drivers(table)
    assert result.refused["fahrenheit"] == "repeats others, above all temperature."
    assert result.refused["blank"] == "is empty: known for 0% of the lives."
    assert result.refused["same"] == "has one value only."
    assert {d.name for d in result.drivers} == {"plan", "temperature", "colour"}


def test_levels_without_failures_are_named_and_left_out():
    table = fleet(2)
    table.loc[:3, "plan"] = "53B"
    table.loc[:3, "failed"] = False
    result = life_drivers(table)
    assert result.refused["plan: 53B"] == "has 0 failures in 4 lives."
    assert result.left_out == 4
    assert [d.level for d in result.drivers if d.name == "plan"] == ["32"]


def test_rows_with_a_missing_value_are_left_out_and_counted():
    table = fleet(2)
    table.loc[[5, 9], "temperature"] = np.nan
    result = life_drivers(table)
    assert result.left_out == 2
    assert result.failures + result.suspensions == len(table) - 2


def test_repeated_positions_widen_the_intervals():
    table = fleet(6, repeats=8, late=0.0)
    table["site"] = np.where(table["position"] % 2 == 0, "north", "south")
    clustered = driver(life_drivers(table), "site")
    alone = driver(life_drivers(table.drop(columns="position")), "site")
    assert "clustered by position" in clustered.interval.method
    assert clustered.ratio == pytest.approx(alone.ratio)
    wide = np.log(clustered.interval.high / clustered.interval.low)
    assert wide > 1.2 * np.log(alone.interval.high / alone.interval.low)


def test_a_covariate_that_changes_the_shape_is_pointed_out():
    generator = np.random.default_rng(5)
    kind = np.repeat(["a", "b"], 200)
    ages = np.where(
        kind == "a", generator.weibull(0.8, 400), generator.weibull(3.0, 400)
    )
    table = pd.DataFrame({"age": 1000 * ages, "failed": True, "kind": kind})
    result = life_drivers(table)
    assert driver(result, "kind").proportional_p_value < 0.001
    assert any("seems to change the shape" in words for words in result.warnings)


def test_adjusted_p_values_are_those_of_benjamini_and_hochberg():
    result = life_drivers(fleet(1))
    expected = stats.false_discovery_control([d.p_value for d in result.drivers])
    assert [d.adjusted_p_value for d in result.drivers] == pytest.approx(expected)
    assert [d.stands_out for d in result.drivers] == [p <= 0.10 for p in expected]


def test_few_failures_carry_a_warning_or_a_refusal():
    table = fleet(7, n=40)
    assert "are few for 3 columns" in life_drivers(table).warnings[0]
    few = table.assign(failed=np.arange(len(table)) < 4)
    with pytest.raises(TooFewFailures, match="need at least"):
        life_drivers(
            few[["age", "failed", "temperature"]].assign(
                second=range(len(few)), third=np.cos(range(len(few)))
            )
        )


def test_refusals():
    table = fleet(1, n=60)
    with pytest.raises(InvalidSample, match="no column 'hours'"):
        life_drivers(table, age="hours")
    with pytest.raises(CovariateRefused, match="No covariate is left: same has one"):
        life_drivers(table[["age", "failed"]].assign(same=1))
    with pytest.raises(CovariateRefused, match="No covariate is left"):
        life_drivers(table[["age", "failed"]])
    with pytest.raises(InvalidSample, match="confidence"):
        life_drivers(table, confidence=1.0)
    with pytest.raises(InvalidSample, match="above zero"):
        life_drivers(table.assign(age=-1.0))
    table = table.iloc[:40]
    empty = table.assign(temperature=np.where(np.arange(len(table)) % 2, 1.0, np.nan))
    empty["other"] = np.where(np.arange(len(table)) % 2, np.nan, 1.0)
    empty["other"] += np.arange(len(table))
    empty["temperature"] *= np.arange(len(table))
    with pytest.raises(InvalidSample, match="No life has a value in every column"):
        life_drivers(empty)
