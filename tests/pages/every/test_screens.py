"""Every page on three screens: nothing sticks out, nothing serious for axe-core."""

import pytest
from axe_playwright_python.sync_playwright import Axe

from tests.pages.every.page_list import PAGES, label
from tests.pages.every.visiting import visit

pytestmark = pytest.mark.browser

STICKING_OUT = """() => {
  const width = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth <= width) return [];
  const wide = [...document.querySelectorAll("body *")].filter(
    element => element.getBoundingClientRect().right > width + 1);
  return wide.slice(0, 5).map(element =>
    `${element.tagName} ${element.className} ${element.textContent.trim().slice(0, 40)}`
  ).concat(`${document.documentElement.scrollWidth} of ${width} px`);
}"""


def faults_by_axe(page):
    # Without preload: it would ask for imported style sheets beside the page.
    options = {"preload": False, "resultTypes": ["violations"]}
    found = Axe().run(page, options=options).response["violations"]
    return [
        f"{fault['id']}: {fault['help']} {[node['target'] for node in fault['nodes']]}"
        for fault in found
        if fault["impact"] in ("serious", "critical")
    ]


@pytest.mark.parametrize("screen", ["phone", "tablet", "desktop"])
@pytest.mark.parametrize("row", PAGES, ids=label)
def test_the_page_fits_and_anyone_can_read_it(row, screen, screens, watch, db):
    page = screens[screen]
    visit(page, watch, row, db)
    assert page.evaluate(STICKING_OUT) == []
    assert faults_by_axe(page) == []
    assert watch.taken() == ""


def test_a_page_that_sticks_out_and_has_no_labels_is_found(screens, watch, db):
    page = screens["phone"]
    page.goto("/login/")
    page.evaluate(
        """() => {
          const input = document.querySelector("main").appendChild(
            document.createElement("input"));
          input.style.width = "500px";
        }"""
    )
    assert any(fault.startswith("INPUT") for fault in page.evaluate(STICKING_OUT))
    assert any(fault.startswith("label:") for fault in faults_by_axe(page))
    assert watch.taken() == ""
