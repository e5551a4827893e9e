"""Editing drafts and correcting signed repairs on their pages."""

import pytest
from django.urls import reverse

from plant.models import FittedLife
from records.models import Repair
from records.selectors.repairs import repair_version
from records.services.repairs import repair_log, repair_update_draft
from tests.records.plant_at_hand import (
    FINISHED,
    NOTHING_MOVED,
    plant_at_hand,
    seal_in,
    seal_out,
)
from tests.records.repair_pages import swapped_seal, typed
from tests.records.test_repair_form_page import page


@pytest.fixture
def here(db):
    return plant_at_hand()


@pytest.fixture
def draft(here, planner):
    return repair_log(
        by=planner,
        position=here.position,
        components_out=[seal_out(here)],
        components_in=[seal_in(part_number="PART-8", condition_fitted="new")],
        **FINISHED,
    )


@pytest.fixture
def signed(here, planner):
    return repair_log(
        by=planner,
        position=here.position,
        sign=True,
        as_is=NOTHING_MOVED,
        **FINISHED,
    )


def edit_url(repair):
    return reverse("records:repair_edit", args=[repair.pk])


def correct_url(repair):
    return reverse("records:repair_correct", args=[repair.pk])


def stored_row(here, draft, **more):
    new = draft.component_changes.get(change="in").life
    return swapped_seal(here, new_life=new.pk, **more)


def test_the_form_shows_the_draft_as_it_stands(draft, planner_client):
    html = planner_client.get(edit_url(draft)).content.decode()
    assert 'value="2024-03-01T08:00"' in html
    assert 'name="swap-0-taken_out" id="id_swap-0-taken_out" checked' in html
    assert 'name="swap-0-part_number" value="PART-8"' in html


def test_a_change_is_stored_without_a_second_swap(here, draft, planner_client):
    row = stored_row(here, draft, part_number="PART-8B")
    data = typed(swaps=[row], text="More", version=repair_version(draft))
    answer = planner_client.post(edit_url(draft), data)
    assert answer.url == draft.get_absolute_url()
    draft.refresh_from_db()
    assert draft.text == "More"
    assert draft.component_changes.count() == 2
    assert FittedLife.objects.filter(part_number="PART-8B").count() == 1


def test_unticking_puts_the_component_back(here, draft, planner_client):
    row = stored_row(here, draft)
    del row["taken_out"], row["fit_new"]
    data = typed(swaps=[row], version=repair_version(draft))
    planner_client.post(edit_url(draft), data)
    here.seal.refresh_from_db()
    assert here.seal.removed_at is None
    assert draft.component_changes.count() == 0


def test_the_second_editor_keeps_what_was_typed_and_overwrites_nothing(
    here, draft, planner, planner_client
):
    opened = repair_version(draft)
    repair_update_draft(by=planner, repair=draft, text="First")
    data = typed(swaps=[stored_row(here, draft)], text="Second", version=opened)
    answer = planner_client.post(edit_url(draft), data)
    assert "planner changed NWP-2024-0001" in page(answer)
    assert "Nothing was overwritten." in page(answer)
    assert "Second" in page(answer)
    draft.refresh_from_db()
    assert draft.text == "First"
    newest = repair_version(draft)
    assert f'name="version" value="{newest}"' in answer.content.decode()


def test_saving_again_is_then_meant(here, draft, planner, planner_client):
    repair_update_draft(by=planner, repair=draft, text="First")
    row = stored_row(here, draft)
    data = typed(swaps=[row], text="Second", version=repair_version(draft))
    planner_client.post(edit_url(draft), data)
    draft.refresh_from_db()
    assert draft.text == "Second"


def test_a_signed_repair_is_not_edited(signed, planner_client):
    answer = planner_client.get(edit_url(signed), follow=True)
    assert "was already signed by planner on" in page(answer)
    data = typed(version=repair_version(signed), text="Late")
    answer = planner_client.post(edit_url(signed), data)
    assert "Signed repairs are corrected, with a reason." in page(answer)
    signed.refresh_from_db()
    assert signed.text == ""


def test_an_engineer_corrects_with_a_reason(signed, engineer_client):
    data = typed(cause="2.2", reason="Shop report", version=repair_version(signed))
    answer = engineer_client.post(correct_url(signed), data)
    assert answer.url == signed.get_absolute_url()
    signed.refresh_from_db()
    assert signed.cause == "2.2"
    story = page(engineer_client.get(signed.get_absolute_url()))
    assert "Shop report" in story
    assert "Cause: 2.2" in story or "Cause: Installation" in story


def test_a_correction_without_a_reason_comes_back(signed, engineer_client):
    data = typed(cause="2.2", version=repair_version(signed))
    answer = engineer_client.post(correct_url(signed), data)
    assert answer.context["form"].errors["reason"] == ["This field is required."]


def test_corrections_ask_for_no_costs(signed, engineer_client):
    answer = engineer_client.get(correct_url(signed))
    assert answer.context["entry"].costs is None


def test_a_draft_is_not_corrected(draft, engineer_client):
    answer = engineer_client.get(correct_url(draft), follow=True)
    assert "is not signed; only that is corrected." in page(answer)


@pytest.mark.parametrize("name", ["planner_client", "manager_client"])
def test_only_engineers_correct(signed, name, request):
    client = request.getfixturevalue(name)
    assert client.get(correct_url(signed)).status_code == 403
    assert client.post(correct_url(signed), typed()).status_code == 403


def test_managers_edit_no_draft(draft, manager_client):
    assert manager_client.get(edit_url(draft)).status_code == 403


def test_a_draft_may_be_signed_from_its_form(here, draft, planner_client):
    row = stored_row(here, draft)
    data = typed(swaps=[row], action="sign", version=repair_version(draft))
    planner_client.post(edit_url(draft), data)
    assert Repair.objects.get().is_signed
