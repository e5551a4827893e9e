/* The checks offered for this pump, each with its limit, source and unit choice. */
import { changed, draft, read } from "./draft.js";
import { showFields } from "./fields.js";
import { config, one, stamp } from "./page.js";
import { register } from "./register.js";

const list = one("[data-check-list]");
export const rowOf = (kind) => kind.replace(/[^a-z]/g, "_");
export const described = (kind) => register?.checks.find((check) => check.kind === kind);

function limitOf({ low, high }, unit) {
  if (low === null && high === null) return "";
  if (low === null) return `At most ${high} ${unit}.`;
  return high === null ? `At least ${low} ${unit}.` : `${low} to ${high} ${unit}.`;
}

/* True when the value as left, read in the unit chosen, is beyond the limit shown. */
export function isOut(offered) {
  const typed = read(`checks.${rowOf(offered.kind)}`) ?? {};
  if (!typed.left?.trim()) return false;
  const check = described(offered.kind);
  const unit = check?.units.find((known) => known.unit === (typed.unit || check.unit));
  const value = Number(typed.left.replace(",", ".")) * (unit?.factor ?? NaN);
  const edge = 1e-9 * Math.abs(value);
  const { low, high } = offered;
  return (low !== null && value < low - edge) || (high !== null && value > high + edge);
}

function checkShow(offered) {
  const check = described(offered.kind);
  if (!check) return;
  const row = rowOf(offered.kind);
  const limit = limitOf(offered, check.unit);
  const certainty = config.rules.certainties[offered.certainty].toLowerCase();
  const source = limit ? `${offered.source} (${certainty})` : offered.source;
  const shown = stamp("check", { label: check.label, how: check.how, limit, source }, row);
  shown.dataset.check = offered.kind;
  const units = check.units.map(({ unit }) => new Option(unit, unit));
  one("select", shown).replaceChildren(...units);
  one("[data-rotor]", shown).hidden = offered.kind !== "balance";
  list.append(shown);
  showFields(shown);
}

function outShow() {
  for (const offered of draft.place.check_kinds) {
    const shown = one(`[data-check="${offered.kind}"]`);
    if (shown) one("[data-out]", shown).hidden = !isOut(offered);
  }
}

changed((path) => {
  if (path === "opened") {
    list.replaceChildren();
    draft.place.check_kinds.forEach(checkShow);
    const stiffness = draft.place.pump?.stiffness;
    one("[data-stiffness]").hidden = !stiffness;
    const { text, limit_text, source } = stiffness ?? {};
    one("[data-stiffness]").textContent =
      `Stiffness ratio of this shaft: ${text}, ${limit_text} (${source}).`;
  }
  if (path === "opened" || path.startsWith("checks.")) outShow();
});
