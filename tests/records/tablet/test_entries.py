"""An entry of a tablet is stored whole, once for its key."""

from datetime import UTC, datetime

import pytest
from django.db.models.signals import pre_save
from django.urls import reverse

from plant.choices import Ending
from plant.models import FittedLife, Placement
from records.choices import PlateCheck, RepairState
from records.models import CostLine, HourReading, Repair, SettingCheck, TabletEntry
from records.stories.repair_parts import ending_in_words
from records.tablet.parts import pump_swap
from records.teardown_patterns import PATTERNS
from tests.factories.plant import FittedLifeFactory, PumpFactory
from tests.records.tablet.payloads import RUNOUT_LEFT, laid_over, seal_swap, send


def test_a_seal_swap_is_signed_with_its_lives(fitter_client, fitter, here):
    payload = seal_swap(here, fitter)
    answer = send(fitter_client, payload)
    repair = Repair.objects.get()
    assert answer.status_code == 201
    assert answer.json() == {
        "key": payload["key"],
        "state": "stored",
        "number": repair.number,
        "url": repair.get_absolute_url(),
    }
    assert repair.state == RepairState.SIGNED
    assert repair.signed_by == fitter
    assert repair.active_hours == 6.5
    assert repair.plate_check == PlateCheck.READ
    assert repair.also_renewed == ["oil"]
    assert repair.findings_signed_at is None
    here.seal.refresh_from_db()
    assert ending_in_words(here.seal) == Ending.FAILED.label
    assert here.seal.removed_at == datetime(2024, 3, 1, 10, tzinfo=UTC)
    fitted = FittedLife.objects.get(removed_at__isnull=True, component="seal")
    assert fitted.part_number == "PART-8"
    assert fitted.started_at == datetime(2024, 3, 2, 15, tzinfo=UTC)


def test_times_are_those_of_the_site(fitter_client, fitter, here):
    here.site.time_zone = "Europe/Amsterdam"
    here.site.save()
    assert send(fitter_client, seal_swap(here, fitter)).status_code == 201
    assert Repair.objects.get().stopped_at == datetime(2024, 3, 1, 9, tzinfo=UTC)


def test_sending_twice_stores_once(fitter_client, fitter, here):
    payload = seal_swap(here, fitter)
    first, second = send(fitter_client, payload), send(fitter_client, payload)
    assert (first.status_code, second.status_code) == (201, 200)
    assert first.json() == second.json()
    assert Repair.objects.count() == 1


def test_the_order_of_fields_makes_no_other_content(fitter_client, fitter, here):
    payload = seal_swap(here, fitter)
    send(fitter_client, payload)
    assert send(fitter_client, dict(reversed(payload.items()))).status_code == 200


def test_a_key_with_other_content_is_forged(fitter_client, fitter, here):
    payload = seal_swap(here, fitter)
    send(fitter_client, payload)
    answer = send(fitter_client, laid_over(payload, {"text": "Other words."}))
    assert answer.status_code == 403
    assert "Another log" in answer.json()["error"]
    assert Repair.objects.get().text == "Dry running marks."


def test_a_key_of_somebody_else_is_forged(
    fitter_client, planner_client, planner, here, fitter
):
    payload = seal_swap(here, fitter)
    send(fitter_client, payload)
    answer = send(planner_client, laid_over(payload, {"user_id": planner.pk}))
    assert answer.status_code == 403
    assert Repair.objects.count() == 1


def test_what_became_of_an_entry(fitter_client, planner_client, fitter, here):
    payload = seal_swap(here, fitter)
    url = reverse("records:tablet_entry", args=[payload["key"]])
    assert fitter_client.get(url).status_code == 404
    stored = send(fitter_client, payload).json()
    assert fitter_client.get(url).json() == stored
    assert planner_client.get(url).status_code == 404


def test_a_draft_for_the_next_shift_opens_in_the_classic_form(
    fitter_client, planner_client, fitter, here
):
    open_job = {"sign": False, "hours": {"returned_at": ""}}
    assert send(fitter_client, seal_swap(here, fitter, **open_job)).status_code == 201
    draft = Repair.objects.get()
    assert draft.state == RepairState.DRAFT
    page = planner_client.get(reverse("records:repair_edit", args=[draft.pk]))
    assert page.status_code == 200
    assert b"PART-8" in page.content


def test_checks_findings_meter_and_costs_come_along(planner_client, planner, here):
    payload = seal_swap(
        here,
        planner,
        findings_signed=True,
        found={
            "mechanism": "2.7",
            "cause": "3.1",
            "patterns": [{"code": PATTERNS[0].code, "note": "both faces"}],
        },
        checks=[RUNOUT_LEFT],
        hours={"meter_hours": "12 500,5"},
        costs=[{"kind": "parts", "amount": "1200,50", "status": "estimate"}],
    )
    answer = send(planner_client, payload)
    assert answer.status_code == 201, answer.content
    repair = Repair.objects.get()
    assert repair.findings_signed_by == planner
    assert repair.teardown_findings.get().note == "both faces"
    assert SettingCheck.objects.get().value == 0.03
    assert HourReading.objects.get().meter_hours == 12500.5
    line = CostLine.objects.get()
    assert (str(line.amount), line.currency) == ("1200.50", "EUR")


def test_changing_the_whole_pump_moves_both(fitter_client, fitter, here):
    spare = PumpFactory(site=here.site, serial_number="SN-SPARE")
    swap = {"out": [], "in": [], "swap_to_pump": spare.pk}
    answer = send(fitter_client, seal_swap(here, fitter, done=swap))
    assert answer.status_code == 201, answer.content
    old, new = Placement.objects.order_by("placed_at")
    assert (old.pump, old.removed_at) == (
        here.pump,
        datetime(2024, 3, 1, 10, tzinfo=UTC),
    )
    assert (new.pump, new.placed_at) == (spare, datetime(2024, 3, 2, 15, tzinfo=UTC))
    assert Repair.objects.get().pump == here.pump
    page = fitter_client.get(answer.json()["url"]).content.decode()
    assert "SN-1 out to the store, SN-SPARE in" in page
    assert "SN-SPARE, put in by this repair, has no seal and no bearing" in page
    history = page[page.index("History") :]
    assert "SN-1 out to the store" in history
    assert "SN-SPARE in" in history
    here.seal.refresh_from_db()
    assert here.seal.removed_at is None


def test_a_draft_that_changed_the_whole_pump_is_not_asked_about_it(
    fitter_client, fitter, here
):
    spare = PumpFactory(site=here.site, serial_number="SN-SPARE")
    swap = {"out": [], "in": [], "swap_to_pump": spare.pk}
    send(fitter_client, seal_swap(here, fitter, done=swap, sign=False))
    repair = Repair.objects.get()
    signing = reverse("records:repair_sign", args=[repair.pk])
    fitter_client.post(signing, fitter_client.get(signing).context["form"].initial)
    repair.refresh_from_db()
    assert repair.is_signed


def test_a_pump_changed_later_at_the_same_place_is_no_change_of_this_repair(
    fitter_client, fitter, planner, here
):
    answer = send(fitter_client, seal_swap(here, fitter))
    [placement] = Placement.objects.all()
    pump_swap(
        by=planner,
        position=here.position,
        spare=PumpFactory(site=here.site, serial_number="SN-SPARE"),
        stopped_at=datetime(2024, 5, 1, tzinfo=UTC),
        returned_at=datetime(2024, 5, 2, tzinfo=UTC),
    )
    page = fitter_client.get(answer.json()["url"]).content.decode()
    assert "Whole pump changed" not in page
    assert placement.pump == here.pump


def test_a_new_pump_with_seal_and_bearing_is_not_noted(fitter_client, fitter, here):
    spare = PumpFactory(site=here.site, serial_number="SN-SPARE")
    FittedLifeFactory(pump=spare)
    FittedLifeFactory(pump=spare, component="radial bearing", location="radial de")
    swap = {"out": [], "in": [], "swap_to_pump": spare.pk}
    answer = send(fitter_client, seal_swap(here, fitter, done=swap))
    page = fitter_client.get(answer.json()["url"]).content.decode()
    assert "SN-1 out to the store, SN-SPARE in" in page
    assert "put in by this repair" not in page


@pytest.mark.parametrize("part", [FittedLife, Placement, SettingCheck, TabletEntry])
def test_an_error_between_the_parts_leaves_nothing(fitter_client, fitter, here, part):
    def fail(**_):
        raise RuntimeError("the server stopped here")

    spare = PumpFactory(site=here.site)
    done = {"in": [], "swap_to_pump": spare.pk}
    payload = seal_swap(here, fitter, done=done, checks=[RUNOUT_LEFT])
    pre_save.connect(fail, sender=part)
    try:
        with pytest.raises(RuntimeError):
            send(fitter_client, payload)
    finally:
        pre_save.disconnect(fail, sender=part)
    assert Repair.objects.count() == TabletEntry.objects.count() == 0
    assert SettingCheck.objects.count() == 0
    assert Placement.objects.get().removed_at is None
    here.seal.refresh_from_db()
    assert here.seal.removed_at is None
    assert send(fitter_client, payload).status_code == 201


def test_script_is_kept_as_words_and_shown_as_words(
    fitter_client, planner_client, fitter, here
):
    payload = seal_swap(here, fitter, text="<script>alert(1)</script> < 5 mm")
    assert send(fitter_client, payload).status_code == 201
    page = planner_client.get(Repair.objects.get().get_absolute_url())
    assert b"<script>alert(1)" not in page.content
    assert b"&lt;script&gt;alert(1)" in page.content


def test_the_page_of_the_repair_names_the_tablet(fitter_client, fitter, here):
    send(fitter_client, seal_swap(here, fitter))
    page = fitter_client.get(Repair.objects.get().get_absolute_url())
    assert b"Sent from a tablet" in page.content
