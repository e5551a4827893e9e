/* Numbers that cannot be read and times that cannot be, in the server's sentences:
   without network its own refusal would come hours later. */
import { rowOf } from "./checks.js";
import { draft, read } from "./draft.js";

const CLOCK_SLACK_MS = 5 * 60_000;
const DIGITS_AND_MARKS = /^[+-]?\d[\d.,\s'’]*$/;
const TWO_READINGS = /^[+-]?[1-9]\d{0,2}[.,]\d{3}$/;
const WHOLE = /^[+-]?(\d+|\d{1,3}(\D)\d{3}(\2\d{3})*)$/;
const WRITE_IT_AS = "Write it as 1234.50.";
const HOURS = ["active_hours", "delay_hours", "man_hours", "meter_hours"];

/* The number in what was typed, or the sentence that says why there is none. */
export function numberRead(typed, noNumber) {
  const text = typed.trim().replace("\u2212", "-");
  if (!DIGITS_AND_MARKS.test(text)) {
    const value = Number(text || NaN);
    return Number.isFinite(value) ? { value } : { fault: noNumber };
  }
  if (TWO_READINGS.test(text)) {
    const whole = text.replace(/[.,]/, "");
    return { fault: `${text} may mean ${whole} or ${text.replace(",", ".")}0. ${WRITE_IT_AS}` };
  }
  const last = Math.max(text.lastIndexOf("."), text.lastIndexOf(","));
  const isOnce = last >= 0 && text.split(text[last]).length === 2;
  const hasDecimals = isOnce && /^\d+$/.test(text.slice(last + 1));
  const [whole, decimals] = hasDecimals ? [text.slice(0, last), text.slice(last + 1)] : [text, "0"];
  if (!WHOLE.test(whole)) return { fault: WRITE_IT_AS };
  return { value: Number(`${whole.replace(/[^\d+-]/g, "")}.${decimals}`) };
}

function numbersImpossible(fault) {
  const ask = (path, noNumber, sign) => {
    const typed = read(path) ?? "";
    const known = typed.trim() ? numberRead(typed, noNumber) : {};
    if (known.fault ?? (known.value < 0 && sign)) fault(path, known.fault ?? sign);
  };
  const below = "Hours are zero or more; leave blank what is not known.";
  for (const name of HOURS) ask(`hours.${name}`, "Enter a number.", below);
  for (const row of Object.keys(read("costs") ?? {})) ask(`costs.${row}.amount`, "Enter a number.");
  for (const { kind } of draft.place.check_kinds) {
    const row = `checks.${rowOf(kind)}`;
    for (const name of ["found", "left"]) {
      ask(`${row}.${name}`, "Write a number, such as 0.05.", "Give its size, without a sign.");
    }
    if (read(`${row}.left`)?.trim() && read(`${row}.not_measured_reason`)?.trim()) {
      const text = "It was measured, or it was not: leave one of the two blank.";
      fault(`${row}.not_measured_reason`, text);
    }
  }
}

/* Times as typed, local at the site: text of one form, compared as text. */
function timesImpossible(fault) {
  const parts = { timeZone: draft.place.zone, dateStyle: "short", timeStyle: "short" };
  const words = new Intl.DateTimeFormat("sv-SE", parts).format(Date.now() + CLOCK_SLACK_MS);
  const latest = words.replace(" ", "T");
  const paths = ["noticed.reported_at", "noticed.stopped_at", "hours.returned_at"];
  const [reported, stopped, returned] = paths.map(read);
  for (const path of paths) {
    // A year of five digits is later than any of four.
    const isLater = read(path) > latest || read(path)?.length > latest.length;
    if (isLater) fault(path, "This time is still to come.");
  }
  const said = (time) => `${time.replace("T", " ")}.`;
  if (!returned) return;
  if (!stopped) fault("noticed.stopped_at", "Handed back, so say when it was stopped.");
  else if (returned < stopped) fault(paths[2], `It was stopped only on ${said(stopped)}`);
  else if (reported && returned < reported) {
    fault(paths[2], `It was reported only on ${said(reported)}`);
  }
}

export function impossible() {
  const faults = [];
  const fault = (path, text) => faults.push({ name: path.replaceAll(".", "-"), text });
  timesImpossible(fault);
  numbersImpossible(fault);
  return faults;
}
