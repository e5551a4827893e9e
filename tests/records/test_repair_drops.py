"""Unsigned drafts dropped by their author, or by an engineer."""

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.urls import reverse

from records.choices import RepairState
from records.services.repair_voids import repair_drop
from records.services.repairs import repair_log, repair_sign
from tests.conftest import logged_in
from tests.factories.plant import UserFactory
from tests.records.plant_at_hand import (
    FINISHED,
    NOTHING_MOVED,
    plant_at_hand,
    seal_out,
)
from tests.records.test_repair_form_page import page


@pytest.fixture
def here(db):
    return plant_at_hand()


@pytest.fixture
def draft(here, planner):
    return repair_log(
        by=planner, position=here.position, components_out=[seal_out(here)], **FINISHED
    )


@pytest.fixture
def colleague(draft):
    person = UserFactory(role="planner", sees_all_sites=False)
    person.sites.add(draft.site)
    return person


def test_the_author_drops_a_draft_and_the_seal_goes_back(here, draft, planner):
    dropped = repair_drop(by=planner, repair=draft, reason="Stored too early")
    assert (dropped.state, dropped.void_reason) == (
        RepairState.VOID,
        "Stored too early",
    )
    here.seal.refresh_from_db()
    assert here.seal.removed_at is None
    newest = draft.history.first()
    assert (newest.history_user, newest.history_change_reason) == (
        planner,
        "Stored too early",
    )


def test_another_planner_does_not(draft, colleague):
    with pytest.raises(PermissionDenied):
        repair_drop(by=colleague, repair=draft, reason="Not mine")


def test_an_engineer_drops_the_draft_of_another(draft, engineer):
    dropped = repair_drop(by=engineer, repair=draft, reason="Left behind")
    assert dropped.state == RepairState.VOID


def test_a_signed_repair_is_not_dropped(here, planner):
    draft = repair_log(by=planner, position=here.position, **FINISHED)
    repair_sign(by=planner, repair=draft, as_is=NOTHING_MOVED)
    with pytest.raises(ValidationError, match="was already signed by planner"):
        repair_drop(by=planner, repair=draft, reason="Changed my mind")


def test_a_drop_needs_a_reason(draft, planner):
    with pytest.raises(ValidationError, match="Give the reason"):
        repair_drop(by=planner, repair=draft, reason=" ")


def test_the_page_asks_once_and_drops(draft, planner_client):
    url = reverse("records:repair_drop", args=[draft.pk])
    assert url in planner_client.get(draft.get_absolute_url()).content.decode()
    assert "Drop this draft?" in page(planner_client.get(url))
    planner_client.post(url, {"reason": "Stored too early"})
    draft.refresh_from_db()
    assert draft.state == RepairState.VOID


def test_who_may_not_drop_is_offered_no_button(draft, colleague):
    client = logged_in(colleague)
    url = reverse("records:repair_drop", args=[draft.pk])
    assert url not in client.get(draft.get_absolute_url()).content.decode()
    assert client.post(url, {"reason": "Not mine"}).status_code == 403
