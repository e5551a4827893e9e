"""Whatever is on record, every life is judged once and the ages stay sound."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pandas as pd
from hypothesis import given, settings
from hypothesis import strategies as st

from analytics.ages import Clock
from analytics.samples import SampleRule, Status, sample_build
from plant.choices import (
    Beginning,
    ConditionFitted,
    ConditionFound,
    Ending,
    WhyRemoved,
)
from plant.models import Position
from records.selectors.lives import LifeTables

AS_OF = datetime(2024, 1, 1, tzinfo=UTC)
NO_PLACEMENTS = pd.DataFrame(
    {
        "pump_id": pd.Series(dtype=int),
        "position_id": pd.Series(dtype=int),
        "placed_at": pd.Series(dtype="datetime64[ns, UTC]"),
        "removed_at": pd.Series(dtype="datetime64[ns, UTC]"),
    }
)

ago = st.integers(0, 3_000)
spans = st.none() | st.integers(0, 1_500)


@st.composite
def recorded_life(draw):
    """One life, sound or contradictory, as the register may hold it."""
    fitted = AS_OF - timedelta(days=draw(ago))
    removed = draw(spans)
    started, ended = draw(spans), draw(spans)

    def after(days):
        return None if days is None else fitted + timedelta(days=days)

    return {
        "pump_id": draw(st.integers(1, 4)),
        "position_id": draw(st.none() | st.integers(1, 4)),
        "fitted_at": fitted,
        "started_at": after(started),
        "removed_at": after(removed),
        "ended_at": None if removed is None else after(ended),
        "retired_at": draw(st.none() | st.just(AS_OF - timedelta(days=200))),
        "records_from": draw(st.none() | st.just(AS_OF - timedelta(days=900))),
        "beginning": draw(st.sampled_from(Beginning.values)),
        "condition_fitted": draw(st.sampled_from(ConditionFitted.values)),
        "condition_found": draw(st.sampled_from(["", *ConditionFound.values])),
        "why_removed": draw(st.sampled_from(["", *WhyRemoved.values])),
        "defect_detected": draw(st.none() | st.booleans()),
        "age_at_entry_days": draw(st.none() | st.floats(-100, 2_000)),
        "age_at_entry_hours": draw(st.none() | st.floats(-100, 20_000)),
        "running_share": draw(st.none() | st.floats(0, 1)),
        "rejects_fail_at_site": draw(st.booleans()),
    }


def tables_of(lives):
    table = pd.DataFrame(lives)
    for name in ("fitted", "started", "ended", "removed", "retired"):
        table[f"{name}_at"] = pd.to_datetime(table[f"{name}_at"], utc=True)
    table["records_from"] = pd.to_datetime(table["records_from"], utc=True)
    table["position_id"] = table["position_id"].astype("Int64")
    for name in ("age_at_entry_days", "age_at_entry_hours", "running_share"):
        table[name] = table[name].astype(float)
    return LifeTables(table, NO_PLACEMENTS, Position.objects.none())


@given(
    st.lists(recorded_life(), min_size=1, max_size=12),
    st.sets(st.sampled_from([str(ending) for ending in Ending])),
)
@settings(max_examples=60, deadline=None)
def test_every_life_is_counted_once_at_an_age_above_its_entry(lives, endings):
    rule = SampleRule(
        as_of=AS_OF,
        clock=Clock.DAYS,
        failure_endings=frozenset(endings),
        conditions=tuple(ConditionFitted.values),
    )
    sample = sample_build(tables_of(lives), rule)
    assert sum(sample.count(status) for status in Status) == len(lives)
    assert sum(number for _s, _w, number in sample.breakdown()) == len(lives)
    used = sample.used
    assert np.isfinite(used["age"].to_numpy(float)).all()
    assert (used["age"] > used["entry_age"]).all()
    assert (used["entry_age"] >= 0).all()
    if len(used):
        assert sample.life_data().n == len(used)


@given(st.lists(recorded_life(), min_size=1, max_size=12))
@settings(max_examples=40, deadline=None)
def test_what_is_not_chosen_as_failure_is_suspended_not_lost(lives):
    tables = tables_of(lives)
    conditions = tuple(ConditionFitted.values)

    def used(endings):
        rule = SampleRule(
            as_of=AS_OF,
            clock=Clock.DAYS,
            failure_endings=frozenset(endings),
            conditions=conditions,
        )
        return sample_build(tables, rule).used

    everything = {str(ending) for ending in Ending}
    assert list(used(everything)["age"]) == list(used(set())["age"])
