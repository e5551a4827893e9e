"""Facts of pumps and couplings that decide which checks are offered."""

import pytest
from django.urls import reverse

from plant.models import Position, Pump
from tests.factories.plant import AreaFactory, PositionFactory, PumpFactory, SiteFactory

NOT_RECORDED = {"mounting": "", "impeller_kind": "", "has_sleeve": ""}


def pump_typed(**facts):
    return {"serial_number": "SN-9", "assembly": "whole pump", **facts}


def terms(entries):
    return {entry["term"]: entry["text"] for entry in entries}


@pytest.mark.parametrize(("typed", "stored"), [("True", True), ("False", False)])
def test_a_pump_is_entered_with_how_it_is_built(db, engineer_client, typed, stored):
    facts = {"mounting": "vertical", "impeller_kind": "open", "has_sleeve": typed}
    sent = pump_typed(site=SiteFactory().pk, **facts)
    assert engineer_client.post(reverse("plant:pump_new"), sent).status_code == 302
    pump = Pump.objects.get()
    assert (pump.mounting, pump.impeller_kind) == ("vertical", "open")
    assert pump.has_sleeve is stored


def test_what_is_not_recorded_stays_unknown(db, engineer_client):
    pump = PumpFactory(mounting="overhung", impeller_kind="closed", has_sleeve=True)
    url = reverse("plant:pump_edit", args=[pump.pk])
    page = engineer_client.get(url).content.decode()
    assert '<option value="True" selected>Yes</option>' in page
    engineer_client.post(url, pump_typed(**NOT_RECORDED))
    pump.refresh_from_db()
    assert (pump.mounting, pump.impeller_kind, pump.has_sleeve) == ("", "", None)


def test_the_page_of_a_pump_shows_how_it_is_built(db, manager_client):
    pump = PumpFactory(mounting="overhung", impeller_kind="closed", has_sleeve=False)
    facts = terms(manager_client.get(pump.get_absolute_url()).context["assembly"])
    assert facts["Mounting"] == "Overhung impeller"
    assert facts["Impeller"] == "Closed, with wear rings"
    assert facts["Sleeve on the shaft"] == "no"


def test_a_position_is_entered_with_its_coupling(db, engineer_client):
    sent = {
        "area": AreaFactory().pk,
        "tag": "P-7",
        "criticality": "low",
        "sparing": "none",
        "coupling": "spacer",
        "spacer_length_mm": "140",
        "vibration_category": "1",
    }
    url = reverse("plant:position_new")
    assert engineer_client.post(url, sent).status_code == 302
    position = Position.objects.get()
    assert (position.coupling, position.spacer_length_mm) == ("spacer", 140)
    assert position.vibration_category == "1"


def test_the_page_of_a_position_shows_its_coupling(db, manager_client):
    position = PositionFactory(coupling="spacer", spacer_length_mm=140)
    facts = terms(manager_client.get(position.get_absolute_url()).context["duty"])
    assert facts["Coupling"] == "With spacer"
    assert facts["Length of the spacer"] == "140\u00a0mm"
    assert facts["Vibration category"] == "by the liquid: I where it is toxic"


def test_the_exports_hold_them_under_the_names_of_the_import(db, manager_client):
    position = PositionFactory(coupling="spacer", spacer_length_mm=140)
    PumpFactory(site=position.site, impeller_kind="open", has_sleeve=True)
    for name, row in (
        ("plant:position_export", {"coupling": "spacer", "spacer_length_mm": "140.0"}),
        ("plant:pump_export", {"impeller_kind": "open", "has_sleeve": "yes"}),
    ):
        answer = manager_client.get(reverse(name))
        lines = b"".join(answer.streaming_content).decode().splitlines()
        cells = dict(zip(lines[0].split(","), lines[1].split(","), strict=True))
        assert row.items() <= cells.items()
