"""Swaps that look half done are asked back before a name stands under them."""

import re

import pytest
from django.urls import reverse

from plant.choices import ConditionFound, WhyRemoved
from records.choices import Activity, Category, Item
from records.models import Repair
from records.selectors.repairs import repair_version
from records.services.component_rows import ComponentOut
from records.services.half_done import AsIsAsked
from records.services.repairs import repair_correct, repair_log, repair_sign
from tests.records.plant_at_hand import (
    FINISHED,
    NOTHING_MOVED,
    plant_at_hand,
    seal_in,
    seal_out,
)
from tests.records.repair_pages import swapped_seal, typed
from tests.records.test_repair_form_page import page

EMPTY = "handed back:seal single inner"
EMPTY_WORDS = (
    "Handed back with nothing fitted at Seal, single end, inner: tick if that is so."
)
BEARING = "failed:radial bearing"
BEARING_WORDS = (
    "The failed item is a radial bearing but no radial bearing was taken out: "
    "tick if that is so."
)


@pytest.fixture
def here(db):
    return plant_at_hand()


@pytest.fixture
def swap(here, planner):
    return repair_log(
        by=planner,
        position=here.position,
        components_out=[seal_out(here)],
        components_in=[seal_in(part_number="PART-8")],
        sign=True,
        **FINISHED,
    )


def log(planner, here, **more):
    return repair_log(by=planner, position=here.position, **{**FINISHED, **more})


def asked(call):
    with pytest.raises(AsIsAsked) as refused:
        call()
    return refused.value.messages


def test_a_whole_swap_asks_nothing(swap):
    assert swap.is_signed


def test_a_place_left_empty_is_asked_and_signed_when_meant(here, planner):
    facts = {"components_out": [seal_out(here)], "sign": True}
    assert asked(lambda: log(planner, here, **facts)) == [EMPTY_WORDS]
    assert not Repair.objects.exists()
    assert log(planner, here, as_is=[EMPTY], **facts).is_signed


def test_a_failed_item_that_stayed_is_asked_beside_the_empty_place(here, planner):
    facts = {
        "item": Item.RADIAL_BEARING,
        "components_out": [seal_out(here)],
        "sign": True,
    }
    assert asked(lambda: log(planner, here, **facts)) == [BEARING_WORDS, EMPTY_WORDS]
    assert asked(lambda: log(planner, here, as_is=[EMPTY], **facts)) == [BEARING_WORDS]
    assert log(planner, here, as_is=[EMPTY, BEARING], **facts).is_signed


def test_the_failed_item_taken_out_is_not_asked(here, planner):
    bearing = ComponentOut(here.bearing, WhyRemoved.DEFECT, True, ConditionFound.REJECT)
    questions = asked(
        lambda: log(
            planner,
            here,
            item=Item.RADIAL_BEARING,
            components_out=[bearing],
            sign=True,
        )
    )
    assert questions == [
        "Handed back with nothing fitted at Radial bearing, drive end: "
        "tick if that is so."
    ]


def test_preventive_work_that_replaces_nothing_is_not_asked(here, planner):
    looked_at = {"category": Category.PREVENTIVE, "activity": Activity.INSPECTION}
    assert log(planner, here, sign=True, **looked_at).is_signed


def test_a_draft_is_not_asked_until_it_is_signed(here, planner):
    draft = log(planner, here, components_out=[seal_out(here)])
    assert asked(lambda: repair_sign(by=planner, repair=draft)) == [EMPTY_WORDS]
    assert repair_sign(by=planner, repair=draft, as_is=[EMPTY]).is_signed


def test_a_correction_that_leaves_a_swap_half_done_is_asked(here, swap, engineer):
    def correct(**more):
        return repair_correct(
            by=engineer,
            repair=swap,
            reason="None was at hand",
            components_out=[seal_out(here)],
            components_in=[],
            **more,
        )

    assert asked(correct) == [EMPTY_WORDS]
    assert correct(as_is=[EMPTY]).component_changes.count() == 1


def test_what_was_half_done_before_is_not_asked_again(here, planner, engineer):
    signed = log(planner, here, sign=True, as_is=NOTHING_MOVED)
    repair_correct(by=engineer, repair=signed, reason="Spelling", text="Leaked")
    signed.refresh_from_db()
    assert signed.text == "Leaked"


@pytest.fixture
def url(here):
    return f"{reverse('records:repair_new')}?position={here.position.pk}"


def half_swapped(here):
    row = swapped_seal(here)
    del row["fit_new"]
    return row


def test_the_form_asks_beside_the_components(here, url, planner_client):
    data = typed(
        swaps=[half_swapped(here)], item="radial bearing", failure_mode="VIB"
    ) | {"action": "sign"}
    answer = planner_client.post(url, data)
    for words in (BEARING_WORDS, EMPTY_WORDS, "Tick what is so, or mend it."):
        assert words in page(answer)
    assert not Repair.objects.exists()
    planner_client.post(url, data | {"as_is": [BEARING, EMPTY]})
    assert Repair.objects.get().is_signed


def test_a_question_not_ticked_keeps_the_form_open(here, url, planner_client):
    data = typed(
        swaps=[half_swapped(here)], item="radial bearing", failure_mode="VIB"
    ) | {"action": "sign", "as_is": [BEARING]}
    html = planner_client.post(url, data).content.decode()
    assert re.search(rf'value="{BEARING}"[^>]*checked', html)
    assert not re.search(rf'value="{EMPTY}"[^>]*checked', html)
    assert not Repair.objects.exists()


def test_a_draft_is_stored_without_being_asked(here, url, planner_client):
    planner_client.post(url, typed(swaps=[half_swapped(here)]))
    assert Repair.objects.get().component_changes.count() == 1


def test_the_correction_page_asks(here, swap, engineer_client):
    new = swap.component_changes.get(change="in").life
    row = swapped_seal(here, new_life=new.pk)
    del row["fit_new"]
    url = reverse("records:repair_correct", args=[swap.pk])
    data = typed(swaps=[row], reason="None fitted", version=repair_version(swap))
    assert EMPTY_WORDS in page(engineer_client.post(url, data))
    assert swap.component_changes.count() == 2
    engineer_client.post(url, data | {"as_is": [EMPTY]})
    assert swap.component_changes.count() == 1


def test_the_sign_page_asks_with_a_tick(here, planner, planner_client):
    draft = log(planner, here, components_out=[seal_out(here)])
    url = reverse("records:repair_sign", args=[draft.pk])
    assert EMPTY_WORDS in page(planner_client.get(url))
    data = {"version": repair_version(draft)}
    answer = planner_client.post(url, data)
    assert "Tick what is so, or mend it." in page(answer)
    draft.refresh_from_db()
    assert not draft.is_signed
    planner_client.post(url, data | {"as_is": EMPTY})
    draft.refresh_from_db()
    assert draft.is_signed


def test_a_tick_for_no_question_is_refused(url, planner_client):
    answer = planner_client.post(url, typed(as_is="released"))
    assert answer.context["form"].errors["as_is"]
    assert not Repair.objects.exists()
