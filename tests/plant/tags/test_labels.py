"""What stands on a tag: name, letter, service, place, code and address."""

import pytest
from django.utils import timezone

from plant.models import Position, Pump
from plant.selectors.positions import with_standing_pump
from plant.tags.codes import TagKind
from plant.tags.labels import position_labels, pump_labels, spare_letter
from tests.factories.plant import PositionFactory, PumpFactory


def absolute(path: str) -> str:
    return f"https://logbook.example{path}"


@pytest.mark.parametrize(
    ("tag", "letter"),
    [
        ("P-1205A", "A"),
        ("P-101 B", "B"),
        ("p-7c", "C"),
        ("P-1205", ""),
        ("PUMPA", ""),
        ("P-101A/B", ""),
    ],
)
def test_the_letter_of_a_spare_follows_a_digit_at_the_end(tag, letter):
    assert spare_letter(tag) == letter


def test_a_position_names_service_site_and_area(db):
    position = PositionFactory(
        tag="P-1205A",
        service="Wash liquor",
        area__name="Acid",
        area__site__name="Marsh works",
    )
    rows = with_standing_pump(Position.objects.all(), timezone.localdate())
    (label,) = position_labels(rows, absolute)
    assert label.kind is TagKind.POSITION
    assert (label.name, label.letter) == ("P-1205A", "A")
    assert (label.lines, label.place) == (("Wash liquor",), "Marsh works, Acid")
    ending = label.code.removeprefix("T ")
    assert label.address == f"https://logbook.example/t/{ending}/"
    assert ending[:-1] == str(position.pk)


def test_a_pump_names_maker_design_and_size(db):
    pump = PumpFactory(
        serial_number="HW-1", maker="Hollow Weir", design="BPO", size="50-200"
    )
    (label,) = pump_labels(Pump.objects.select_related("site"), absolute)
    assert label.kind is TagKind.PUMP
    assert (label.name, label.lines) == ("HW-1", ("Hollow Weir", "BPO 50-200"))
    assert label.address.startswith(f"https://logbook.example/p/{pump.pk}")


def test_what_is_not_known_takes_no_line(db):
    PumpFactory(serial_number="HW-1")
    (label,) = pump_labels(Pump.objects.select_related("site"), absolute)
    assert label.lines == ()
