"""Every page on three screens: nothing sticks out, nothing serious for axe-core.

By keyboard the content is two keys away, and one sees where one is.
"""

import pytest
from axe_playwright_python.sync_playwright import Axe

from tests.pages.every.keyboard import FOCUS, MARK_FIRST_CONTROL
from tests.pages.every.page_list import PAGES, label

pytestmark = pytest.mark.browser

every_row = pytest.mark.parametrize("row_on_screens", PAGES, ids=label, indirect=True)

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
@every_row
def test_the_page_fits_and_anyone_can_read_it(screen, row_on_screens):
    page, watch = row_on_screens[screen].page, row_on_screens[screen].watch
    row_on_screens[screen].arrive()
    assert page.evaluate(STICKING_OUT) == []
    assert faults_by_axe(page) == []
    assert watch.taken() == ""


@every_row
def test_the_skip_link_leads_to_the_first_control(row_on_screens):
    row_on_screens["desktop"].arrive()
    page = row_on_screens["desktop"].page
    has_controls = page.evaluate(MARK_FIRST_CONTROL)
    page.locator(".skip-link").focus()
    page.wait_for_timeout(100)
    box = page.locator(".skip-link").bounding_box()
    assert box["y"] >= 0, "the skip link hides"
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "main"
    if not has_controls:
        return
    page.keyboard.press("Tab")
    focus = page.evaluate(FOCUS)
    assert focus == {
        "name": focus["name"],
        "inside": True,
        "first": True,
        "marked": True,
        "seen": True,
    }


def test_a_page_that_sticks_out_and_has_no_labels_is_found(screens):
    page, watch = screens["phone"].page, screens["phone"].watch
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
