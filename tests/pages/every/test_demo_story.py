"""Stories of the demo plant ask about what its generator put there, on two sheets."""

import io
import itertools
from datetime import UTC, datetime

import pypdf
import pytest
from django.urls import reverse

from analytics.reports.story.report import story
from analytics.reports.story.subject import position_subject, pump_subject
from plant.models import Position, Pump, User
from records.demo import truths
from tests.pages.every.visiting import PATIENCE_MS

LANES = "[data-figure='timeline-figure'] .ytick text"
AS_OF = datetime(2026, 6, 30, 20, tzinfo=UTC)


@pytest.fixture
def demo_engineer(db):
    return User.objects.get(username="engineer")


def story_of(user, tag):
    rows = Position.objects.select_related("area", "site")
    return story(position_subject(user=user, position=rows.get(tag=tag), as_of=AS_OF))


def asked(found):
    return {question.subject for question in found.questions}


@pytest.mark.parametrize("tag", truths.BAD_ACTORS)
def test_a_bad_actor_is_asked_about_its_flow_shaft_and_shaking(demo_engineer, tag):
    found = story_of(demo_engineer, tag)
    assert {
        "Far below best-efficiency flow",
        "Soft shaft",
        "Vibration rising",
        "The same again: vibration",
        "Short lives",
    } <= asked(found)
    assert found.curve.events > 5 * found.curve.high


def test_the_travelling_pull_out_is_asked_about_itself(demo_engineer):
    pump = Pump.objects.select_related("site").get(serial_number=truths.TRAVELLER)
    found = story(pump_subject(user=demo_engineer, pump=pump, as_of=AS_OF))
    assert {
        f"Trouble goes with {truths.TRAVELLER}",
        "Short lives after checks out of limit",
        "The same again: clearance or alignment",
    } <= asked(found)


def test_the_standby_pump_is_asked_about_its_starts_and_its_partner_not(demo_engineer):
    assert "Fails on starting" in asked(story_of(demo_engineer, truths.COLD_STARTS))
    partner = story_of(demo_engineer, truths.COLD_START_PARTNER)
    assert "Fails on starting" not in asked(partner)


def test_seals_that_die_young_or_wear_out_are_asked_about(demo_engineer):
    badly_aligned = asked(story_of(demo_engineer, "P-1209A"))
    assert "Early failures: Seal, single end, inner, S-4102" in badly_aligned
    # Costs on record answer the second with no; who may not see them is asked.
    worn = "Wears out: Seal, single end, inner, S-4101"
    assert worn not in asked(story_of(demo_engineer, "P-1402A"))
    fitter = User.objects.get(username="fitter")
    assert worn in asked(story_of(fitter, "P-1402A"))


def test_water_in_the_bearings_of_the_effluent_area_is_asked_about(demo_engineer):
    area = Position.objects.filter(area__name="Effluent and utilities")
    single = area.filter(tag__gte="P-1511", tag__lte="P-1518").order_by("tag")
    found = [asked(story_of(demo_engineer, position.tag)) for position in single]
    assert any("The same again: corrosion" in questions for questions in found)


@pytest.mark.parametrize("tag", ["P-1101A", "P-1120", "P-1305A", "P-1501A"])
def test_an_ordinary_pump_is_asked_nothing(demo_engineer, tag):
    assert asked(story_of(demo_engineer, tag)) == set()


def lanes_run_into_each_other(page):
    """Pairs of names beside the time axis that overlap as they are printed.

    Measured in the very step that draws for paper: the next one fits the screen again.
    """
    boxes = page.evaluate(
        f"""() => {{
          window.dispatchEvent(new Event("beforeprint"));
          return [...document.querySelectorAll({LANES!r})].map((name) => {{
            const box = name.getBoundingClientRect();
            return [box.top, box.bottom, name.textContent];
          }}).sort((one, other) => one[0] - other[0]);
        }}"""
    )
    assert "Radial bearing, non-drive end" in [name for _top, _bottom, name in boxes]
    return [
        (above[2], below[2])
        for above, below in itertools.pairwise(boxes)
        if below[0] < above[1] - 1
    ]


@pytest.mark.browser
@pytest.mark.parametrize("tag", truths.BAD_ACTORS)
def test_the_story_of_a_bad_actor_prints_on_two_sheets(tag, screens):
    page, watch = screens["desktop"].page, screens["desktop"].watch
    position = Position.objects.get(tag=tag)
    story_of_it = reverse("analytics:story", args=[position.pk])
    page.goto(f"{watch.host}{story_of_it}", timeout=PATIENCE_MS)
    page.wait_for_selector(".chart__canvas .main-svg", timeout=PATIENCE_MS)
    assert lanes_run_into_each_other(page) == []
    sheets = pypdf.PdfReader(io.BytesIO(page.pdf(format="A4"))).pages
    assert len(sheets) == 2
    assert "Questions for the engineer" in sheets[0].extract_text()
    assert "Cost by year" in sheets[1].extract_text()
    assert watch.taken() == ""
