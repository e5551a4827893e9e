"""A fitter beside a pump."""

from datetime import UTC, datetime

import pytest

from records.services.repairs import repair_log
from tests.conftest import logged_in
from tests.factories.plant import UserFactory
from tests.records.plant_at_hand import FINISHED, plant_at_hand, seal_in, seal_out

EARLIER = {
    "reported_at": datetime(2024, 2, 29, 8, tzinfo=UTC),
    "stopped_at": datetime(2024, 2, 29, 9, tzinfo=UTC),
    "returned_at": datetime(2024, 2, 29, 20, tzinfo=UTC),
}


@pytest.fixture
def fitter(db):
    return UserFactory(username="fitter", role="fitter")


@pytest.fixture
def fitter_client(fitter):
    return logged_in(fitter)


@pytest.fixture
def here(db):
    return plant_at_hand()


@pytest.fixture
def seal_gone(here, planner):
    """Somebody else's repair took the seal out and fitted another."""
    return repair_log(
        by=planner,
        position=here.position,
        components_out=[seal_out(here)],
        components_in=[seal_in(part_number="PART-9", condition_fitted="new")],
        sign=True,
        **{**FINISHED, **EARLIER},
    )


@pytest.fixture
def same_job(here, planner):
    """A draft of the same job, logged at a desk with less in it."""
    return repair_log(
        by=planner,
        position=here.position,
        reported_at=FINISHED["reported_at"],
        category=FINISHED["category"],
        item=FINISHED["item"],
        failure_mode="VIB",
        text="Heard it.",
    )
