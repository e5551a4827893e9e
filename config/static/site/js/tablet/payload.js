/* The draft in the form that the sync address takes, and the way back from the paths
   of its refusals to the names of the fields. */
import { described, isOut, rowOf } from "./checks.js";
import { config } from "./page.js";
import { componentOf, locationOf } from "./swap.js";

const KNOWN = { yes: true, no: false };
const OUT_FACTS = ["why_removed", "defect_detected", "condition_found"];
const filled = (row) =>
  Object.fromEntries(Object.entries(row ?? {}).map(([name, value]) => [name, value ?? ""]));

export function payloadOf(draft, { sign, findings_signed }, photos) {
  const { data, place } = draft;
  const names = { "plate.check": "plate-answer" };
  const out = [];
  const fitted = [];
  for (const [slot, facts] of Object.entries(data.done?.slots ?? {})) {
    const life = place.pump?.lives.find((l) => l.location === locationOf(slot));
    const named = (kind, row) => (names[`done.${kind}.${row}`] = `done-slots-${slot}`);
    if (life && facts.why_removed) {
      named("out", out.length);
      const { why_removed, condition_found = "" } = facts;
      const defect_detected = KNOWN[facts.defect_detected] ?? null;
      out.push({ life: life.id, defect_detected, condition_found, why_removed });
    }
    if (facts.condition_fitted) {
      named("in", fitted.length);
      const details = Object.entries(facts).filter(([name]) => !OUT_FACTS.includes(name));
      const where = { component: componentOf(slot), location: locationOf(slot) };
      fitted.push({ ...where, ...Object.fromEntries(details) });
    }
  }
  const { answer, serial_read = "" } = data.plate ?? {};
  const read = answer === "agrees" || answer === "another";
  const { patterns = [], ...found } = data.found ?? {};
  const { slots, swap_to_pump, also_renewed = [], ...done } = data.done ?? {};
  return {
    names,
    payload: {
      ...{ key: draft.key, user_id: draft.user_id, made_at: draft.made_at },
      ...{ register_made_at: draft.register_made_at, sign, findings_signed },
      ...{ position: place.id, pump: place.pump?.id ?? null },
      plate: {
        check: read ? "read" : "not read",
        serial_read: answer === "another" ? serial_read : "",
      },
      noticed: filled(data.noticed),
      found: { ...filled(found), patterns: patterns.map((code) => ({ code, note: "" })) },
      done: { ...done, also_renewed, out, in: fitted, swap_to_pump: Number(swap_to_pump) || null },
      checks: checksOf(draft, names),
      hours: filled(data.hours),
      costs: config.user.sees_costs ? costsOf(draft, names) : [],
      text: data.text ?? "",
      references: filled(data.references),
      photos: photos.map(({ key, caption }) => ({ key, caption })),
      ...{ as_is: data.as_is ?? [], save_anyway: data.save_anyway === true },
    },
  };
}

function costsOf({ data, place }, names) {
  const typed = Object.entries(data.costs ?? {}).filter(([, { amount }]) => amount?.trim());
  return typed.map(([row, { amount, status = "" }], index) => {
    names[`costs.${index}`] = `costs-${row}`;
    return { kind: row.replaceAll("_", " "), amount, status, currency: place.currency };
  });
}

function checksOf({ data, place }, names) {
  const rows = [];
  for (const offered of place.check_kinds) {
    const { kind } = offered;
    const typed = data.checks?.[rowOf(kind)] ?? {};
    const { not_measured_reason = "", out_of_limit_reason = "", instrument = "" } = typed;
    const rotor_mass_kg = typed.rotor_mass_kg ?? "";
    for (const stage of ["found", "left"]) {
      const entered_value = typed[stage]?.trim() ?? "";
      const reason = stage === "left" && !entered_value ? not_measured_reason : "";
      if (!entered_value && !reason) continue;
      names[`checks.${rows.length}`] = `checks-${rowOf(kind)}`;
      names[`checks.${rows.length}.entered_value`] = `checks-${rowOf(kind)}-${stage}`;
      rows.push({
        ...{ kind, stage, entered_value, instrument, not_measured_reason: reason },
        rotor_mass_kg,
        entered_unit: typed.unit || described(kind)?.unit || "",
        out_of_limit_reason: stage === "left" && isOut(offered) ? out_of_limit_reason : "",
      });
    }
  }
  return rows;
}

/* The field's name for a refused path; of a row, its first field when no better is known. */
export function nameOf(path, names) {
  if (names[path]) return names[path];
  const row = /^(done\.(?:out|in)\.\d+|(?:checks|costs)\.\d+)\.?(.*)$/.exec(path);
  if (!row) return path.replaceAll(".", "-");
  return [names[row[1]], row[2]].filter(Boolean).join("-");
}
