"""What the keyboard finds on a page, as scripts for the browser."""

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
