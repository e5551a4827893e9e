/* One step at a time; its heading takes the focus, and the draft remembers it. */
import { draft, save, tell } from "./draft.js";
import { each, on, one } from "./page.js";

const HIGH_PX = 1000;
const sections = each("[data-step]");
const names = sections.map((section) => section.dataset.step);

export function stepShow(name) {
  draft.step = name;
  save();
  for (const section of sections) section.hidden = section.dataset.step !== name;
  for (const button of each("[data-to]")) {
    if (button.dataset.to === name) button.setAttribute("aria-current", "step");
    else button.removeAttribute("aria-current");
  }
  one("[data-do=next]").hidden = name === names.at(-1);
  one("[data-do=back]").hidden = name === names[0];
  tell(`step.${name}`);
  // The plate comes first; after it, a low screen belongs to the step.
  const isHigh = innerHeight > HIGH_PX || name === names[0];
  one(isHigh ? "[data-sight]" : "[data-form]").scrollIntoView();
  one(`#step-${name}`).focus({ preventScroll: true });
}

const move = (by) => stepShow(names[names.indexOf(draft.step) + by]);

on("step", (button) => stepShow(button.dataset.to));
on("next", () => move(1));
on("back", () => move(-1));
one("[data-form]").addEventListener("submit", (event) => event.preventDefault());
/* Of a pressed key only a button does something: Enter in a field stores nothing. */
one("[data-form]").addEventListener("keydown", (event) => {
  if (event.key === "Enter" && event.target.matches("input")) event.preventDefault();
});
