"""Wide tables keep every column on paper; long names stay in their place."""

import pytest

from plant.models import Position, Pump
from tests.pages.every.visiting import visit
from tests.pages.permission_rows import Row

pytestmark = pytest.mark.browser

A4_LANDSCAPE_PX = 1122 - 2 * 45  # 297 mm less the margins, at 96 px an inch
BEYOND_THE_SHEET = """() => [...document.querySelectorAll("th, td")]
  .filter(cell => cell.getBoundingClientRect().right > innerWidth + 1)
  .map(cell => cell.textContent.trim())"""
OVERPRINTED = """() => [...document.querySelectorAll("dd, th, td")].filter(cell => {
  const link = cell.querySelector("a");
  const note = cell.querySelector("[class$=note]");
  if (!link || !note) return false;
  const words = document.createRange();
  words.selectNodeContents(link);
  return words.getBoundingClientRect().bottom > note.getBoundingClientRect().top + 1;
}).map(cell => cell.textContent.trim())"""
STICKING_OUT = "() => document.documentElement.scrollWidth > innerWidth"


@pytest.mark.parametrize("name", ["records:repair_list", "analytics:bad_actors"])
def test_every_column_is_on_the_sheet(name, screens, db):
    page = visit(screens["desktop"], Row(name, ""), db)
    size = page.viewport_size
    page.emulate_media(media="print")
    page.set_viewport_size({"width": A4_LANDSCAPE_PX, "height": 700})
    beyond = page.evaluate(BEYOND_THE_SHEET)
    page.emulate_media(media="screen")
    page.set_viewport_size(size)
    assert beyond == []


@pytest.mark.parametrize("screen", ["phone", "tablet"])
@pytest.mark.parametrize(
    ("name", "of"), [("records:repair_detail", "repair"), ("records:repair_list", "")]
)
def test_long_names_neither_stick_out_nor_are_overprinted(
    name, of, screen, screens, db, django_db_blocker
):
    with django_db_blocker.unblock():
        Pump.objects.filter(pk=db["pump"].pk).update(serial_number="S" * 46)
        Position.objects.filter(pk=db["position"].pk).update(tag="P" * 40)
    page = visit(screens[screen], Row(name, "", of=of), db)
    assert "P" * 40 in page.inner_text("main")
    assert not page.evaluate(STICKING_OUT)
    assert page.evaluate(OVERPRINTED) == []
