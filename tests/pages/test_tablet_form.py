"""The tablet form with network: a seal swap from the search to the log."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from PIL import Image

from plant.choices import Beginning, Location
from plant.models import FittedLife, Placement
from plant.tags.codes import TagCode, TagKind
from records.choices import RepairState
from records.models import Photo, Repair
from records.stories.repair_parts import ending_in_words
from tests.browser_support import PHONE, TABLET
from tests.factories.plant import PumpFactory, UserFactory
from tests.pages.tablet_form import SIGN, STEPS, STORY, open_form
from tests.records.plant_at_hand import plant_at_hand

pytestmark = pytest.mark.browser

MOST_TAPS = 25
MOST_TYPED = 40
SMALL_TARGETS = """() => [...document.querySelectorAll(
    "[data-tablet] :is(button, input, select, textarea, summary, label:has(input))")]
  .filter(element => element.checkVisibility() && !element.closest("label label")
    && !(element.matches("input") && element.closest("label")))
  .map(element => [element.getBoundingClientRect(), element])
  .filter(([box]) => box.width && (box.height < 43.5 || box.width < 43.5))
  .map(([box, element]) => `${element.outerHTML.slice(0, 80)} ${box.height}`)"""
STICKING_OUT = (
    "() => document.documentElement.scrollWidth > document.documentElement.clientWidth"
)


@pytest.fixture
def here(transactional_db):
    return plant_at_hand()


@pytest.fixture
def fitter(transactional_db):
    return UserFactory(username="fitter", role="fitter")


def faults_by_axe(page):
    options = {"preload": False, "resultTypes": ["violations"]}
    found = Axe().run(page, options=options).response["violations"]
    return [f"{f['id']} {[n['target'] for n in f['nodes']]}" for f in found]


def text_twice_as_large_sticks_out(page):
    size = "document.documentElement.style.fontSize"
    page.evaluate(f"{size} = '200%'")
    sticks_out = page.evaluate(STICKING_OUT)
    page.evaluate(f"{size} = ''")
    return sticks_out


def test_a_seal_swap_is_stored_within_the_taps_promised(here, fitter, open_page):
    form = open_form(open_page(fitter, TABLET))
    form.find()
    form.seal_swap()
    form.tap(SIGN)
    form.state("Sent")
    print(f"\nseal swap: {form.taps} taps, {form.typed} typed characters")  # noqa: T201
    assert form.taps <= MOST_TAPS
    assert form.typed <= MOST_TYPED
    repair = Repair.objects.get()
    assert repair.is_signed
    assert repair.findings_signed_by == fitter
    assert (repair.failure_mode, repair.item) == ("ELP", "mechanical seal")
    assert repair.text == STORY
    here.seal.refresh_from_db()
    assert here.seal.removed_at == repair.stopped_at
    assert ending_in_words(here.seal).startswith("Failed")
    fitted = FittedLife.objects.still_in().get(location=Location.SEAL_SINGLE_INNER)
    assert fitted.part_number == here.seal.part_number
    assert fitted.beginning == Beginning.KNOWN
    photo = Photo.objects.get()
    assert photo.repair == repair
    with Image.open(photo.picture) as picture:
        assert (picture.format, picture.size) == ("JPEG", (2000, 1000))


def test_every_step_passes_axe_and_fits_tablet_and_phone(here, fitter, open_page):
    for screen in (TABLET, PHONE):
        page = open_page(fitter, screen)
        form = open_form(page)
        assert faults_by_axe(page) == []
        form.find()
        form.tap("It agrees")
        for step in STEPS:
            form.step(step)
            assert page.evaluate("document.activeElement.id") == f"step-{step}"
            if step == "found":
                form.found()
            if step == "done":
                form.done()
            if screen is TABLET:
                assert faults_by_axe(page) == [], step
                assert not text_twice_as_large_sticks_out(page), step
            assert not page.evaluate(STICKING_OUT), step
            assert page.evaluate(SMALL_TARGETS) == [], step


def test_on_paper_every_step_is_shown(here, fitter, open_page):
    page = open_page(fitter, TABLET)
    form = open_form(page)
    form.find()
    assert page.locator("[data-step]:visible").count() == 1
    page.emulate_media(media="print")
    assert page.locator("[data-step]:visible").count() == len(STEPS)


def test_bearings_as_practice_is_one_tap_and_says_suspension(here, fitter, open_page):
    page = open_page(fitter, TABLET)
    form = open_form(page)
    form.find()
    form.step("done")
    page.locator("[data-do=practice]").tap()
    bearing = page.locator("[data-slot=radial_de]")
    assert "counts as a suspension" in bearing.inner_text()
    assert "6309, as the one taken out" in bearing.inner_text()
    seal = page.locator("[data-slot=seal_single_inner]")
    assert seal.locator(":checked").count() == 0
    seal.get_by_label("A defect was detected", exact=True).dblclick()
    seal.get_by_label("New", exact=True).check()
    page.wait_for_timeout(600)
    seal.get_by_label("A defect was detected", exact=True).tap()
    assert seal.locator(":checked").count() == 0
    place = page.locator("#tablet-place")
    before = page.locator("[data-slot]").count()
    place.select_option(index=1)
    page.get_by_role("button", name="Nothing was fitted here").tap()
    place.select_option(index=1)
    place.select_option(index=0)
    assert page.locator("[data-slot]").count() == before + 1
    page.get_by_role("button", name="Nothing was fitted here").tap()
    assert page.locator("[data-slot]").count() == before


def test_nothing_that_could_falsify_is_filled_in(here, fitter, open_page):
    page = open_page(fitter, TABLET)
    form = open_form(page)
    form.find()
    assert page.locator("[data-tablet] :checked:not(option)").count() == 0
    filled = page.evaluate(
        """() => [...document.querySelectorAll("[data-tablet] [name]")]
          .filter(f => !["radio", "checkbox"].includes(f.type) && f.value)
          .map(f => f.name).filter(name => !name.endsWith("-unit"))"""
    )
    assert filled == []
    form.step("found")
    form.tap("Mechanical seal", group="Failed item")
    page.get_by_role("checkbox", name="Ran dry").tap()
    assert page.locator("#id_found-mechanism").input_value() == ""
    assert page.locator("#id_found-cause").input_value() == ""


def test_a_check_in_mils_out_of_limit_asks_why(here, fitter, open_page):
    page = open_page(fitter, TABLET)
    form = open_form(page)
    form.find()
    form.step("checks")
    check = page.locator("[data-check='shaft runout']")
    left = check.get_by_label("As left", exact=True)
    left.fill("1.5")
    check.get_by_label("Unit").select_option("mil")
    assert not check.locator("[data-out]").is_visible()
    left.fill("2,5")
    assert check.locator("[data-out]").is_visible()
    name = check.locator("legend").first.inner_text()
    form.step("review")
    form.tap(SIGN)
    fault = page.locator("[data-faults] a", has_text=name)
    assert fault.inner_text().startswith(f"{name}: ")


def test_costs_are_asked_only_of_those_who_see_them(here, fitter, open_page):
    planner = UserFactory(username="planner", role="planner")
    for person, count in ((fitter, 0), (planner, 6)):
        page = open_page(person, TABLET)
        page.goto(f"/tablet/?position={here.position.pk}")
        page.locator("[data-step=noticed]").wait_for()
        assert page.locator(".tablet-cost").count() == count


def code_scanned(page, code):
    """What the camera's answer does: the code comes as a submitted form."""
    page.locator("[name=code]").evaluate(
        "(field, code) => { field.value = code; field.form.requestSubmit(); }",
        str(code),
    )
    page.locator("[data-step=noticed]").wait_for()


def runout_typed(page):
    check = page.locator("[data-check='shaft runout']")
    check.get_by_label("As found").fill("2")
    check.get_by_label("Unit").select_option("mil")
    check.locator("summary").tap()
    check.get_by_label("Not measured, because").fill("pump went to the store")


def labour_typed(page):
    labour = page.get_by_role("group", name="Labour")
    labour.get_by_label("Amount").fill("120.50")
    labour.get_by_label("Estimate").check()


def test_every_kind_of_answer_reaches_the_log(here, open_page):
    spare = PumpFactory(site=here.site, serial_number="SN-2")
    page = open_page(UserFactory(username="planner", role="planner"), TABLET)
    form = open_form(page)
    page.locator("[data-search]").fill(str(TagCode(TagKind.PUMP, spare.pk)))
    page.get_by_text("SN-2 is in the store").wait_for()
    code_scanned(page, TagCode(TagKind.PUMP, here.pump.pk))
    form.noticed()
    form.next()
    form.found()
    form.next()
    form.tap("Replace, same type", group="What was done")
    page.locator("#tablet-swap").select_option(str(spare.pk))
    form.next()
    runout_typed(page)
    form.next()
    form.handed_back()
    page.get_by_label("Work took").fill("3,5")
    labour_typed(page)
    form.next()
    page.get_by_label("Permit number").fill("PTW-77")
    form.next()
    page.get_by_label("no mechanical seal was taken out").check()
    form.tap("Sign and send, findings follow later")
    form.state("Sent")
    repair = Repair.objects.get()
    assert repair.is_signed
    assert repair.findings_signed_at is None
    assert (repair.permit_reference, repair.active_hours) == ("PTW-77", 3.5)
    assert Placement.objects.get(removed_at=None).pump == spare
    found, left = repair.checks.order_by("stage")
    assert (found.entered_value, found.entered_unit) == ("2", "mil")
    assert found.value == pytest.approx(0.0508)
    assert left.not_measured_reason == "pump went to the store"
    cost = repair.cost_lines.get()
    assert (cost.kind, str(cost.amount), cost.status) == (
        "labour",
        "120.50",
        "estimate",
    )


def test_a_draft_is_handed_over_to_the_next_shift(here, fitter, open_page):
    here.position.service = "x" * 120
    here.position.save()
    form = open_form(open_page(fitter, TABLET))
    form.find()
    form.noticed()
    form.tap("Another pump")
    search = form.page.locator("[data-search]")
    search.fill(
        "https://log.plant/t/" + TagCode(TagKind.POSITION, here.position.pk).ending
    )
    form.page.locator("[data-found] button").wait_for()
    assert not form.page.evaluate(STICKING_OUT)
    search.press("Enter")
    form.tap("Go on with it")
    assert form.page.locator("[data-drafts] li").count() == 1
    form.step("review")
    form.tap("Hand over as a draft to the next shift")
    form.state("Sent")
    assert Repair.objects.get().state == RepairState.DRAFT
