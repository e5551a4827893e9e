/* Ways to reach the page: its settings, copies of its templates, deeds of its buttons. */
export const one = (css, root = document) => root.querySelector(css);
export const each = (css, root = document) => [...root.querySelectorAll(css)];
export const config = JSON.parse(one("#tablet-config").textContent);

const deeds = {};
export function on(name, deed) {
  deeds[name] = deed;
}
document.addEventListener("click", (event) => {
  const button = event.target.closest("[data-do]");
  if (button) deeds[button.dataset.do]?.(button);
});

/* Put each text where data-text names it; without a text the place is hidden. */
export function fill(root, texts) {
  for (const place of each("[data-text]", root)) {
    place.textContent = texts[place.dataset.text] ?? "";
    place.hidden = place.textContent === "";
  }
}

export function stamp(name, texts = {}, key = "") {
  const holder = document.createElement("div");
  const template = one(`template[data-template="${name}"]`);
  holder.innerHTML = template.innerHTML.replaceAll("__row__", key);
  fill(holder, texts);
  return holder.firstElementChild;
}

export function element(tag, text = "", attributes = {}) {
  const made = document.createElement(tag);
  made.textContent = text;
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  return made;
}

export function say(text, link) {
  const state = one("[data-state]");
  state.replaceChildren(...(text ? [element("p", text)] : []));
  if (link) state.append(element("a", link.label, { href: link.url, class: "button" }));
}
