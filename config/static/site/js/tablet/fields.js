/* Fields and the draft: a name is the path of its value, written with hyphens. */
import { changed, draft, read, write } from "./draft.js";
import { each, element, on, one } from "./page.js";

const SECOND_TAP_MS = 500;
let answered = { field: "", at: 0 };

const pathOf = (field) => field.name.replaceAll("-", ".");

function valueOf(field) {
  if (field.type !== "checkbox") return field.value;
  if (field.value === "on") return field.checked;
  const same = each(`[name="${field.name}"]:checked`);
  return same.map((box) => box.value);
}

export function set(field, value) {
  field.value = value;
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

function show(field) {
  const value = read(pathOf(field)) ?? "";
  if (field.type === "radio") field.checked = value === field.value;
  else if (field.type !== "checkbox") field.value = value;
  else field.checked = Array.isArray(value) ? value.includes(field.value) : value === true;
  // A unit is chosen from the start: the first, in which the limit is written.
  if (field.selectedIndex === -1) field.selectedIndex = 0;
}

/* Fill the fields below `root` from the draft, and add their buttons. */
export function showFields(root) {
  each("select[data-near]:not([data-ready])", root).forEach(addNear);
  each("input[data-now]:not([data-ready])", root).forEach(addNow);
  each("[name]", root).forEach(show);
  refresh();
}

function addNear(select) {
  select.dataset.ready = "yes";
  const label = one(`label[for="${select.id}"]`).firstChild.textContent.trim();
  const row = element("div", "", { class: "tablet-near", role: "group", "aria-label": label });
  for (const value of select.dataset.near.split("|")) {
    const option = each("option", select).find((found) => found.value === value);
    const words = option.text.replace(/^[\d.]+, |^[A-Z]{3}, /, "");
    const attributes = { type: "button", class: "tablet-choice", value, "data-do": "near" };
    row.append(element("button", words, { ...attributes, "data-for": select.id }));
  }
  select.before(row);
}

const marked = (field) => (field.type === "checkbox" ? field.id : field.name);
/* A tap that bounced, or a double tap, is one answer and does not take it back. */
const isSecondTap = (field) =>
  answered.field === marked(field) && performance.now() - answered.at < SECOND_TAP_MS;

on("near", (button) => {
  const select = document.getElementById(button.dataset.for);
  if (select.value === button.value && isSecondTap(select)) return;
  set(select, select.value === button.value ? "" : button.value);
});

function addNow(input) {
  input.dataset.ready = "yes";
  const label = one(`label[for="${input.id}"]`).firstChild.textContent.trim();
  const words = { "aria-label": `${label}: ${input.dataset.now}`, "data-for": input.id };
  const attributes = { type: "button", class: "button", "data-do": "now", ...words };
  input.after(element("button", input.dataset.now, attributes));
}

on("now", (button) => {
  const parts = { timeZone: draft.place.zone, dateStyle: "short", timeStyle: "short" };
  const now = new Intl.DateTimeFormat("sv-SE", parts).format().replace(" ", "T");
  set(document.getElementById(button.dataset.for), now);
  const fields = each("section:not([hidden]) :is(input, select, textarea)");
  fields[fields.findIndex((field) => field.id === button.dataset.for) + 1]?.focus();
});

function refresh() {
  for (const part of each("[data-shown-when]")) {
    const [path, wanted] = part.dataset.shownWhen.split("=");
    const value = read(path) ?? "";
    part.hidden = wanted ? value !== wanted : !value;
  }
  for (const button of each("[data-do=near]")) {
    const chosen = document.getElementById(button.dataset.for).value === button.value;
    button.setAttribute("aria-pressed", chosen);
  }
}

document.addEventListener("input", (event) => {
  answered = { field: marked(event.target), at: performance.now() };
  if (draft && event.target.name) write(pathOf(event.target), valueOf(event.target));
});
/* A chosen answer pressed again is taken back. */
document.addEventListener("click", (event) => {
  const radio = event.target;
  if (radio.type === "checkbox" && isSecondTap(radio)) return event.preventDefault();
  if (!draft || radio.type !== "radio" || read(pathOf(radio)) !== radio.value) return;
  if (isSecondTap(radio)) return;
  radio.checked = false;
  write(pathOf(radio), "");
});
changed(refresh);
