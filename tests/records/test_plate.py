"""What tag and plate say, held against the register, and what a difference leads to."""

from datetime import date

import pytest
from django.template.loader import render_to_string
from django.urls import reverse

from records.choices import PlateCheck
from records.selectors.plate import (
    PlateRead,
    plate_compared,
    register_in_words,
    tag_compared,
)
from tests.factories.plant import (
    PlacementFactory,
    PositionFactory,
    PumpFactory,
    SiteFactory,
    UserFactory,
)
from tests.records.plant_at_hand import plant_at_hand


@pytest.fixture
def here(db):
    return plant_at_hand(tag="P-101A", serial="SN-1/20")


@pytest.fixture
def compared(here, planner):
    def ask(serial="", check=PlateRead.OTHER, position=None, user=planner):
        place = position or here.position
        return plate_compared(
            user=user, position=place, check=check, serial_read=serial
        )

    return ask


def test_a_plate_that_matches_is_stored_as_read(compared):
    answer = compared(check="read")
    assert (answer.agrees, answer.stored) == (True, PlateCheck.READ)
    assert answer.sentence == ""


def test_a_plate_not_read_is_allowed_and_named(compared):
    answer = compared(check="not read")
    assert (answer.agrees, answer.stored) == (None, PlateCheck.NOT_READ)
    assert "not read" in answer.sentence


@pytest.mark.parametrize("typed", ["SN-1/20", "sn 1 20", " sn1-20 ", "SN.1/20"])
def test_blanks_hyphens_and_case_of_a_serial_do_not_matter(compared, typed):
    assert compared(typed).agrees is True
    assert compared(typed).stored == PlateCheck.READ


def test_a_pump_that_stands_elsewhere_leads_to_its_move(compared, here):
    other = PlacementFactory(
        position__area__site=here.site, position__tag="P-205", pump__serial_number="B-2"
    )
    answer = compared("b2")
    assert (answer.agrees, answer.stored) == (False, "")
    assert "The register has SN-1/20 at P-101A." in answer.sentence
    assert "B-2, which the register has at P-205" in answer.sentence
    assert answer.url == reverse("plant:pump_move", args=[other.pump_id])
    assert answer.label == "Move B-2 to P-101A"


def test_a_pump_of_the_store_leads_to_its_move_too(compared, here):
    spare = PumpFactory(site=here.site, serial_number="B-3")
    answer = compared("B-3")
    assert "which the register has in the store" in answer.sentence
    assert answer.url == reverse("plant:pump_move", args=[spare.pk])


def test_a_retired_pump_is_not_moved_but_looked_at(compared, here):
    pump = PumpFactory(site=here.site, serial_number="B-4", retired_on=date(2024, 5, 1))
    answer = compared("B-4")
    assert "retired since 2024-05-01" in answer.sentence
    assert answer.url == pump.get_absolute_url()


def test_the_same_serial_of_two_makers_asks_for_the_maker(compared, here):
    for maker in ("Hollow Weir", "Tarn"):
        PumpFactory(site=here.site, serial_number="B 5", maker=maker)
    answer = compared("B5")
    assert answer.agrees is False
    assert "Hollow Weir or Tarn" in answer.sentence
    assert answer.url == f"{reverse('plant:pump_list')}?text=B+5"


def test_an_unknown_serial_is_entered_by_who_may(compared, engineer):
    answer = compared("NEW-1")
    assert "No pump with the serial number NEW-1 is registered." in answer.sentence
    assert "have an engineer enter the pump" in answer.sentence
    assert answer.url == ""
    assert compared("NEW-1", user=engineer).url == reverse("plant:pump_new")


def test_a_pump_of_another_site_is_named_only_to_who_sees_that_site(compared, here):
    PumpFactory(site=SiteFactory(name="South works"), serial_number="FAR-1")
    assert "FAR-1 belongs to South works" in compared("FAR-1").sentence
    local = UserFactory(sees_all_sites=False, role="planner")
    local.sites.add(here.site)
    assert "South works" not in compared("FAR-1", user=local).sentence


def test_an_empty_position_has_nothing_to_match(compared, here):
    empty = PositionFactory(area__site=here.site, tag="P-300")
    answer = compared(check="read", position=empty)
    assert (answer.agrees, answer.stored) == (False, "")
    assert answer.url == reverse("plant:position_place", args=[empty.pk])
    assert register_in_words(empty, None) == "The register has no pump at P-300."


@pytest.mark.parametrize(
    ("check", "serial", "sentence"),
    [
        ("", "", "Say whether you read the plate."),
        ("nonsense", "SN-1/20", "Say whether you read the plate."),
        ("other", " - ", "Type the serial number on the plate."),
    ],
)
def test_an_unfinished_answer_stores_nothing(compared, check, serial, sentence):
    answer = compared(serial, check=check)
    assert (answer.agrees, answer.sentence, answer.stored) == (None, sentence, "")


def test_the_tag_of_the_spare_leads_to_the_spare(here, planner):
    spare = PositionFactory(area__site=here.site, tag="P-101B")
    answer = tag_compared(user=planner, position=here.position, tag_read="p101b")
    assert answer.agrees is False
    assert answer.sentence == "You stand at P-101B; this repair is about P-101A."
    assert answer.url == f"{reverse('records:repair_new')}?position={spare.pk}"


@pytest.mark.parametrize(
    ("tag_read", "agrees"), [("p-101 a", True), ("", None), ("P-999", False)]
)
def test_a_tag_is_compared_without_blanks_hyphens_and_case(
    here, planner, tag_read, agrees
):
    PositionFactory(tag="P-999")
    answer = tag_compared(user=planner, position=here.position, tag_read=tag_read)
    assert answer.agrees is agrees
    assert answer.url == ""


def test_the_number_of_queries_does_not_grow_with_the_register(
    compared, here, django_assert_num_queries
):
    PumpFactory(site=here.site, serial_number="B-3")
    PumpFactory.create_batch(20, site=here.site)
    with django_assert_num_queries(3):
        compared("B-3")


def test_the_fragment_asks_three_things_and_shows_the_answer(here, compared):
    PumpFactory(site=here.site, serial_number="B-3")
    html = render_to_string(
        "records/plate_check.html",
        {
            "letter": "A",
            "says": register_in_words(here.position, here.pump),
            "serial": "SN-1/20",
            "reads": PlateRead.choices,
            "given": {"tag": "P-101A", "check": "other", "serial_read": "<b>"},
            "answer": compared("B-3"),
        },
    )
    for name in ("plate_tag", "plate_check", "plate_serial_read"):
        assert f'name="{name}"' in html
    assert 'value="other" checked' in html
    assert "&lt;b&gt;" in html
    assert "Move B-3 to P-101A" in html
