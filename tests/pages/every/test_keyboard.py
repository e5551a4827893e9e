"""Every page by keyboard: the content is two keys away, and one sees where one is."""

import pytest

from tests.pages.every.page_list import PAGES, label
from tests.pages.every.visiting import visit

pytestmark = pytest.mark.browser

MARK_FIRST_CONTROL = """() => {
  const kinds = "a[href], button, input, select, textarea, summary";
  const usable = [...document.querySelectorAll(`main :is(${kinds})`)].filter(
    element => !element.disabled && element.type !== "hidden"
      && element.checkVisibility({visibilityProperty: true}));
  if (usable.length) usable[0].dataset.first = "control";
  return usable.length > 0;
}"""
# A region that scrolls may take the focus before the first control inside it.
FOCUS = """() => {
  const focused = document.activeElement;
  const first = document.querySelector("[data-first]");
  const style = getComputedStyle(focused);
  const box = focused.getBoundingClientRect();
  const follows = Node.DOCUMENT_POSITION_FOLLOWING;
  return {
    name: `${focused.tagName} ${focused.className} ${focused.textContent.slice(0, 40)}`,
    inside: focused.closest("main") !== null && focused.tagName !== "MAIN",
    first: focused === first
      || Boolean(focused.compareDocumentPosition(first) & follows),
    marked: style.boxShadow !== "none"
      || (style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2),
    seen: box.bottom > 0 && box.top < innerHeight && box.width > 0,
  };
}"""


@pytest.mark.parametrize("row", PAGES, ids=label)
def test_the_skip_link_leads_to_the_first_control(row, screens, watch, db):
    page = screens["desktop"]
    visit(page, watch, row, db)
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
