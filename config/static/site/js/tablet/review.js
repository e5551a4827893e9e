/* The last step: everything in words, what is missing, what looks half done. */
import { isOut, rowOf } from "./checks.js";
import { changed, draft, read } from "./draft.js";
import { showFields } from "./fields.js";
import { config, each, element, one } from "./page.js";
import { photosInWords, wordsOf } from "./review-words.js";
import { componentOf, lifeAt, locationOf } from "./swap.js";

const CHOOSE = "Choose one; “Not known” is an answer where it is offered.";

/* What signing lacks, by the name of the field. A hand-over needs only the first two. */
export function missing({ sign, findings_signed }) {
  const faults = [];
  const need = (path, text = CHOOSE) => {
    if (!read(path)) faults.push({ name: path.replaceAll(".", "-"), text });
  };
  need("noticed.reported_at", "Say when the trouble was reported.");
  need("noticed.category");
  if (!sign) return faults;
  need("plate.answer");
  if (read("plate.answer") === "another") need("plate.serial_read", "Type what the plate shows.");
  need("done.activity", "Say what was done.");
  if (config.rules.failures.includes(read("noticed.category"))) {
    need("noticed.failure_mode");
    need("found.item");
    if (findings_signed) need("found.mechanism");
    if (findings_signed) need("found.cause");
  }
  if (read("noticed.stopped_at")) need("hours.returned_at", "Signed when it is handed back.");
  for (const [slot, facts] of Object.entries(read("done.slots") ?? {})) {
    if (lifeAt(slot) && facts.condition_fitted) need(`done.slots.${slot}.why_removed`);
    if (!facts.why_removed) continue;
    need(`done.slots.${slot}.defect_detected`);
    need(`done.slots.${slot}.condition_found`);
  }
  for (const offered of draft.place.check_kinds.filter(isOut)) {
    need(`checks.${rowOf(offered.kind)}.out_of_limit_reason`, "Say why it stays so.");
  }
  for (const code of halfDone()) {
    const text = config.rules.questions[code];
    if (!read("as_is")?.includes(code)) faults.push({ name: "as_is", text });
  }
  return faults;
}

/* Codes of what looks forgotten, as records.services.half_done asks them. */
function halfDone() {
  if (!draft.place.pump) return [];
  const { component_of_item, failures } = config.rules;
  const rows = Object.entries(read("done.slots") ?? {});
  const out = rows.filter(([slot, facts]) => lifeAt(slot) && facts.why_removed);
  const item = read("found.item");
  const failed = failures.includes(read("noticed.category"));
  const codes = [];
  const stayed = out.every(([slot]) => componentOf(slot) !== component_of_item[item]);
  if (component_of_item[item] && (failed || read("done.activity") === "1") && stayed) {
    codes.push(`${failed ? "failed" : "worked on"}:${item}`);
  }
  const state = read("hours.returned_at") ? "handed back" : "left empty";
  const empty = out.filter(([, facts]) => !facts.condition_fitted);
  return [...codes, ...empty.map(([slot]) => `${state}:${locationOf(slot)}`)];
}

function reviewShow() {
  const review = one("[data-review]");
  review.replaceChildren(element("h3", "Plate"), wordsOf(one("[data-sight]")));
  for (const section of each("[data-step]:not([data-step=review])")) {
    review.append(element("h3", one("h2", section).textContent), wordsOf(section));
  }
  review.append(photosInWords());
  const codes = halfDone();
  const ticks = codes.map((code) => {
    const label = element("label", "");
    label.append(element("input", "", { type: "checkbox", name: "as_is", value: code }));
    label.append(config.rules.questions[code]);
    return label;
  });
  one("[data-half-done-list]").replaceChildren(...ticks);
  one("[data-half-done]").hidden = !codes.length;
  showFields(one("[data-step=review]"));
}

changed((path) => path === "step.review" && reviewShow());
