"""What cannot be comes back beside its field, every fault at once, nothing stored."""

import pytest
from django.utils import timezone

from records.models import Repair, TabletEntry
from tests.factories.plant import PumpFactory
from tests.records.plant_at_hand import plant_at_hand
from tests.records.tablet.payloads import (
    RUNOUT_LEFT,
    SEAL_FITTED,
    errors_of,
    seal_swap,
    send,
)

OUT = {"defect_detected": True, "condition_found": "reject", "why_removed": "defect"}


@pytest.fixture
def refused(fitter_client, fitter, here):
    """Send a swap with changes; the faults, with nothing stored."""

    def sent(**changes):
        errors = errors_of(send(fitter_client, seal_swap(here, fitter, **changes)))
        assert Repair.objects.count() == TabletEntry.objects.count() == 0
        here.seal.refresh_from_db()
        assert here.seal.removed_at is None
        return errors

    return sent


def test_every_fault_is_told_at_once(refused):
    errors = refused(
        noticed={"reported_at": "2024-13-01T08:00", "category": "<script>"},
        hours={"active_hours": "NaN", "man_hours": "-3"},
        references={"permit_reference": "x" * 61},
        text="x" * 10_001,
        checks=[{**RUNOUT_LEFT, "entered_value": "much"}],
        done={"out": [{**OUT, "life": None, "why_removed": ""}]},
    )
    assert {
        "noticed.reported_at",
        "noticed.category",
        "hours.active_hours",
        "references.permit_reference",
        "text",
        "done.out.0.why_removed",
    } <= set(errors)


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"hours": {"returned_at": "2024-03-01T09:00"}}, "hours.returned_at", "only"),
        ({"noticed": {"stopped_at": ""}}, "noticed.stopped_at", "say when"),
        ({"noticed": {"reported_at": "2099-01-01T08:00"}}, "noticed.reported_at", "to"),
        ({"hours": {"returned_at": ""}}, "hours.returned_at", "handed back"),
        ({"hours": {"man_hours": "-3"}}, "hours.man_hours", "zero or more"),
        ({"hours": {"meter_hours": "1,234"}}, "hours.meter_hours", "may mean"),
        ({"found": {"item": ""}}, "found.item", "Not known"),
        ({"findings_signed": True}, "found.mechanism", "Not known"),
        ({"checks": [{**RUNOUT_LEFT, "entered_value": "0,5"}]},
         "checks.0.out_of_limit_reason", "why"),
        ({"checks": [RUNOUT_LEFT, RUNOUT_LEFT]}, "checks.1.kind", "above"),
        ({"found": {"patterns": [{"code": "no such", "note": ""}]}},
         "found.patterns.0.code", "valid choice"),
        ({"costs": [{"kind": "parts", "amount": "5", "status": "booked"}]},
         "costs", "planner"),
        ({"hours": {"lunch": "1"}}, "hours.lunch", "does not know"),
        ({"done": {"in": "seal"}}, "done.in", "list"),
        ({"position": "P-101"}, "position", "whole number"),
        ({"done": {"in": [{**SEAL_FITTED, "location": "thrust"}]}},
         "done.in.0.location", "place"),
        ({"done": {"in": [SEAL_FITTED, SEAL_FITTED]}}, "done.in.1.location", "Two"),
    ],
)  # fmt: skip
def test_what_cannot_be_names_its_field(refused, changes, field, words):
    errors = refused(**changes)
    assert words in errors[field]


def test_a_life_taken_out_twice(refused, here):
    row = {**OUT, "life": here.seal.pk}
    assert "twice" in refused(done={"out": [row, row]})["done.out.1.life"]


def test_a_life_of_another_pump(refused):
    other = plant_at_hand(tag="P-102", serial="SN-2")
    row = {**OUT, "life": other.seal.pk}
    assert "not one of this pump" in refused(done={"out": [row]})["done.out.0.life"]


def test_a_place_that_is_taken_on_the_tablets_own_register(refused, here):
    bearing = {"component": "radial bearing", "location": here.bearing.location}
    fitted = [{**bearing, "condition_fitted": "new", "designation": "6309"}]
    seen = timezone.now().isoformat()
    errors = refused(register_made_at=seen, done={"in": fitted})
    assert "take that one out" in errors["done.in.0.location"]


def test_a_pump_that_never_stood_there(refused, here):
    pump = PumpFactory(site=here.site)
    errors = refused(pump=pump.pk, done={"out": [], "in": []})
    assert "did not stand at" in errors["pump"]


def test_a_pump_of_another_site(refused):
    errors = refused(pump=PumpFactory().pk, done={"out": [], "in": []})
    assert "no such pump" in errors["pump"]


def test_a_pump_at_two_places(refused, here):
    other = plant_at_hand(tag="P-102", serial="SN-2")
    other.position.site = other.pump.site = here.site
    other.pump.save()
    other.position.save()
    swap = {"in": [], "swap_to_pump": other.pump.pk}
    errors = refused(register_made_at=timezone.now().isoformat(), done=swap)
    assert "one position at a time" in errors["done.swap_to_pump"]


def test_a_swap_without_its_times(refused, here):
    spare = PumpFactory(site=here.site)
    errors = refused(
        sign=False,
        done={"in": [], "swap_to_pump": spare.pk},
        hours={"returned_at": ""},
    )
    assert "say when" in errors["hours.returned_at"]


def test_a_falling_meter(fitter_client, fitter, here, refused):
    send(fitter_client, seal_swap(here, fitter, hours={"meter_hours": "9000"}))
    later = {"reported_at": "2024-05-01T08:00", "stopped_at": "2024-05-01T08:30"}
    answer = send(
        fitter_client,
        seal_swap(
            here,
            fitter,
            noticed=later,
            done={"out": [], "in": []},
            hours={"returned_at": "2024-05-02T08:00", "meter_hours": "8000"},
            as_is=["failed:mechanical seal"],
        ),
    )
    assert "backwards" in errors_of(answer)["hours.meter_hours"]
    assert Repair.objects.count() == 1


def test_steps_are_those_of_the_form(fitter_client, fitter, here):
    payload = seal_swap(here, fitter, found={"item": ""}, hours={"active_hours": "x"})
    errors = send(fitter_client, payload).json()["errors"]
    assert {error["step"] for error in errors} == {"hours"}
    payload["hours"]["active_hours"] = "1"
    errors = send(fitter_client, payload).json()["errors"]
    assert {error["step"] for error in errors} == {"found"}
