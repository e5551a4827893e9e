/* What the pump carries, part by part: why it left, and what came in its place. */
import { changed, draft, read, write } from "./draft.js";
import { showFields } from "./fields.js";
import { config, on, one, stamp } from "./page.js";
import { register } from "./register.js";

const slots = one("[data-slots]");
const { endings, locations } = config.rules;
/* Another part has another serial number; the plan is a fact of the position. */
const OWN_FACTS = ["serial", "piping_plan"];
const SAME_PART = ["refitted", "cleaned", "repaired"];

const slotOf = (location) => location.replaceAll(" ", "_");
export const locationOf = (slot) => slot.replaceAll("_", " ");
export const lifeAt = (slot) =>
  draft.place.pump?.lives.find((life) => slotOf(life.location) === slot);
export function componentOf(slot) {
  if (slot === "thrust") return "thrust bearing";
  return slot.startsWith("seal") ? "seal" : "radial bearing";
}

function slotShow(slot) {
  const life = lifeAt(slot);
  const part = life
    ? [life.label, life.fitted_on && `fitted ${life.fitted_on}`, life.age_text]
    : ["Nothing on record here"];
  const texts = { place: locations[locationOf(slot)], part: part.filter(Boolean).join(", ") };
  const row = stamp("slot", texts, slot);
  row.dataset.slot = slot;
  one("[data-old]", row).hidden = !life;
  one("[data-do=drop-slot]", row).hidden = Boolean(life);
  if (!life) one("[data-new]", row).removeAttribute("data-shown-when");
  one("[data-new]", row).hidden = false;
  const kind = componentOf(slot) === "seal" ? "seal" : "bearing";
  one("[data-detail-fields]", row).append(...stamp(kind, {}, slot).children);
  slots.append(row);
  showFields(row);
  wordsShow(slot);
}

export function slotsShow() {
  const carried = (draft.place.pump?.lives ?? []).map((life) => slotOf(life.location));
  const touched = Object.keys(read("done.slots") ?? {});
  const used = new Set([...carried, ...touched]);
  const all = Object.keys(locations).map(slotOf).filter((slot) => used.has(slot));
  slots.replaceChildren();
  all.forEach(slotShow);
  one("[data-no-slots]").hidden = carried.length > 0;
  const bearings = carried.filter((slot) => componentOf(slot) !== "seal");
  one("[data-do=practice]").hidden = !bearings.length;
  const empty = Object.keys(locations).filter((place) => !all.includes(slotOf(place)));
  const options = empty.map((place) => new Option(locations[place], slotOf(place)));
  one("[data-empty-place]").replaceChildren(new Option("Choose the place", ""), ...options);
  const others = draft.place.store.map(
    ({ id, serial, design, size }) => new Option(`${serial}, ${design} ${size}`, id),
  );
  one("#tablet-swap").replaceChildren(new Option("No, it is the same pump", ""), ...others);
  one("[data-swap]").hidden = !draft.place.pump || !others.length;
}

/* The ending in words, from the table of the one rule; the fitted part in short. */
function wordsShow(slot) {
  const row = one(`[data-slot="${slot}"]`);
  const facts = read(`done.slots.${slot}`) ?? {};
  const key = [facts.defect_detected, facts.condition_found, facts.why_removed].join("|");
  one("[data-ending]", row).textContent = endings[key] ? `This life ends as: ${endings[key]}` : "";
  const label = facts.part_number || facts.designation || "nothing typed";
  const isSame = label === lifeAt(slot)?.label ? ", as the one taken out" : "";
  one("[data-details]", row).textContent = label + isSame;
}

/* Details of the part taken out, offered for the one fitted; what is typed stays. */
function copyDetails(slot) {
  const facts = read(`done.slots.${slot}`);
  const details = lifeAt(slot)?.details ?? {};
  for (const [name, value] of Object.entries(details)) {
    const isOther = OWN_FACTS.includes(name) && !SAME_PART.includes(facts.condition_fitted);
    if (facts[name] === undefined && !isOther) facts[name] = `${value ?? ""}`;
  }
  showFields(one(`[data-slot="${slot}"]`));
}

/* The part stays in after all: what was said of its leaving goes with the reason. */
function slotClear(slot) {
  const facts = read(`done.slots.${slot}`);
  for (const name of Object.keys(facts)) delete facts[name];
  showFields(one(`[data-slot="${slot}"]`));
}

on("practice", () => {
  for (const { location, component } of draft.place.pump.lives) {
    const path = `done.slots.${slotOf(location)}`;
    if (component === "seal" || read(`${path}.why_removed`)) continue;
    write(`${path}.defect_detected`, "no");
    write(`${path}.condition_found`, "not inspected");
    write(`${path}.why_removed`, "practice");
    write(`${path}.condition_fitted`, "new");
    showFields(one(`[data-slot="${slotOf(location)}"]`));
  }
});

changed((path) => {
  if (path === "opened") return slotsShow();
  const [, slot, name] = /^done\.slots\.([^.]+)\.(.+)$/.exec(path) ?? [];
  if (!slot) return;
  if (name === "condition_fitted" && read(path)) copyDetails(slot);
  if (name === "why_removed" && !read(path) && lifeAt(slot)) slotClear(slot);
  wordsShow(slot);
});
