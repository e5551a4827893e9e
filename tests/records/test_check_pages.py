"""The page of checks, and what the page of the repair shows of them."""

import pytest
from django.urls import reverse

from plant.choices import ImpellerKind
from records.check_choices import CheckKind, CheckStage
from records.services.checks import CheckEntry, checks_set
from records.services.repairs import repair_log, repair_sign
from tests.records.plant_at_hand import FINISHED, NOTHING_MOVED, plant_at_hand


@pytest.fixture
def here(db):
    return plant_at_hand()


@pytest.fixture
def draft(here, planner):
    return repair_log(by=planner, position=here.position, **FINISHED)


@pytest.fixture
def signed(draft, planner):
    entry = CheckEntry(CheckKind.SQUARENESS, CheckStage.LEFT, "2", "mil")
    checks_set(by=planner, repair=draft, checks=[entry])
    return repair_sign(by=planner, repair=draft, as_is=NOTHING_MOVED)


def address(repair):
    return reverse("records:repair_checks", args=[repair.pk])


def typed(version=0, **rows):
    """`squareness="0.2"` fills the value as left; other names are sent as they are."""
    return {"version": version, **rows}


SQUARE = "face-squareness-left-"


def test_the_page_offers_what_the_pump_has_with_its_limits(here, draft, planner_client):
    here.pump.impeller_kind = ImpellerKind.CLOSED
    here.pump.save()
    page = planner_client.get(address(draft)).content.decode()
    assert "Seal-chamber face squareness" in page
    assert "at most 0.1 mm" in page
    assert "Wear-ring clearance" in page
    assert "Impeller running clearance" not in page


def test_the_stiffness_ratio_of_the_shaft_is_shown_with_both_limits(
    here, draft, planner_client
):
    here.pump.shaft_overhang_mm, here.pump.shaft_diameter_mm = 200, 45
    here.pump.save()
    for url in (address(draft), draft.get_absolute_url()):
        page = planner_client.get(url).content.decode()
        # 200^3 / 45^4 = 1.951 per mm, times 25.4 is 49.6 per inch.
        assert "1.95 per mm (49.6 per inch)" in page
        assert "below 60 per inch, which is 2.36 per mm" in page


def test_checks_are_stored_and_shown(draft, planner_client):
    answer = planner_client.post(
        address(draft),
        typed(
            **{
                f"{SQUARE}entered_value": "2",
                f"{SQUARE}entered_unit": "mil",
                "end-play-found-not_measured_reason": "Bearings were out",
            }
        ),
    )
    assert answer.status_code == 302
    page = planner_client.get(draft.get_absolute_url()).content.decode()
    assert "0.0508 mm" in page
    assert "typed as 2 mil" in page
    assert "Bearings were out" in page
    assert "Checks entered" in page


def test_a_refused_check_stays_as_typed_with_its_sentence(draft, planner_client):
    answer = planner_client.post(
        address(draft),
        typed(**{f"{SQUARE}entered_value": "0,3", f"{SQUARE}instrument": "DI-4"}),
    )
    page = answer.content.decode()
    assert answer.status_code == 200
    assert "Out of limit as left: say why it stays so." in page
    assert 'value="0,3"' in page
    assert 'value="DI-4"' in page
    assert not draft.checks.exists()


def test_a_check_out_of_limit_as_left_is_flagged(draft, planner_client):
    planner_client.post(
        address(draft),
        typed(
            **{
                f"{SQUARE}entered_value": "0.3",
                f"{SQUARE}out_of_limit_reason": "Cover on order",
            }
        ),
    )
    page = planner_client.get(draft.get_absolute_url()).content.decode()
    assert "out of limit" in page
    assert "Cover on order" in page


def test_a_stored_check_comes_back_as_it_was_typed(signed, engineer_client):
    page = engineer_client.get(address(signed)).content.decode()
    assert f'name="{SQUARE}entered_value" value="2"' in page
    assert '<option value="mil" selected>' in page


def test_a_planner_is_sent_back_from_a_signed_repair(signed, planner_client):
    answer = planner_client.get(address(signed), follow=True)
    assert "An engineer corrects its checks" in answer.content.decode()


def test_an_engineer_corrects_with_a_reason(signed, engineer_client):
    version = engineer_client.get(address(signed)).context["sheet"].form["version"]
    rows = {f"{SQUARE}entered_value": "3", f"{SQUARE}entered_unit": "mil"}
    blank = engineer_client.post(address(signed), typed(version.value(), **rows))
    assert blank.status_code == 200
    answer = engineer_client.post(
        address(signed), typed(version.value(), reason="Misread", **rows)
    )
    assert answer.status_code == 302
    assert signed.checks.get().value == pytest.approx(0.0762)
    history = engineer_client.get(signed.get_absolute_url()).content.decode()
    assert "Seal-chamber face squareness, as left changed (Misread)" in history


def test_script_in_a_reason_is_shown_as_text(draft, planner_client):
    planner_client.post(
        address(draft),
        typed(**{f"{SQUARE}not_measured_reason": "<script>alert(1)</script>"}),
    )
    page = planner_client.get(draft.get_absolute_url()).content.decode()
    assert "<script>alert(1)" not in page
    assert "&lt;script&gt;alert(1)" in page
