"""Rows of components whose times cannot be."""

from datetime import UTC, datetime, timedelta

import pytest

from records.services.component_rows import RowRefused
from records.services.repairs import repair_log
from tests.records.plant_at_hand import (
    FINISHED,
    RETURNED,
    plant_at_hand,
    seal_in,
    seal_out,
)


@pytest.fixture
def here(db):
    return plant_at_hand()


def test_a_removal_later_than_the_next_fitting_names_both_times(here, planner):
    late = seal_out(here, removed_at=RETURNED + timedelta(hours=2))
    with pytest.raises(RowRefused) as refused:
        repair_log(
            by=planner,
            position=here.position,
            components_out=[late],
            components_in=[seal_in()],
            **FINISHED,
        )
    assert (refused.value.kind, refused.value.index) == ("out", 0)
    assert refused.value.messages == [
        "Seal, single end, inner: the old one is taken out on 2024-03-02 17:00, later "
        "than the new one is fitted on 2024-03-02 15:00. Correct one of the two times."
    ]


def test_a_removal_before_the_fitting_of_the_same_part_is_refused(here, planner):
    early = seal_out(here, removed_at=datetime(2019, 5, 1, tzinfo=UTC))
    with pytest.raises(
        RowRefused, match="Fitted on 2020-01-01 00:00: later than the time you gave."
    ):
        repair_log(
            by=planner, position=here.position, components_out=[early], **FINISHED
        )
