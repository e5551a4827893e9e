/* From draft to queue: refuse what is missing, freeze the rest, send. */
import { drop } from "./db.js";
import { changed, draft, saveNow } from "./draft.js";
import { homeShow } from "./home.js";
import { each, element, on, one } from "./page.js";
import { nameOf, payloadOf } from "./payload.js";
import { photosOf, photosSettled } from "./photos.js";
import { impossible } from "./possible.js";
import { missing } from "./review.js";
import { send } from "./sending.js";
import { stepShow } from "./steps.js";

const summary = one("[data-faults]");

function faultsClear() {
  each("[data-fault]").forEach((words) => words.remove());
  for (const field of each("[aria-invalid]")) {
    field.removeAttribute("aria-invalid");
    const described = field.getAttribute("aria-describedby") ?? "";
    field.setAttribute("aria-describedby", described.replace(/ ?fault-\S+/g, ""));
  }
  summary.hidden = true;
}

function lineOf({ name, text }) {
  const field = name && one(`[name="${name}"], [name^="${name}-"]`);
  const line = element("li");
  if (!field) return line.append(text), line;
  const id = `fault-${name}`;
  const words = { class: "form-field__errors", "data-fault": name, id };
  const place = field.closest(field.type === "radio" ? "fieldset" : ".form-field");
  place?.append(element("p", text, words));
  // Of several answers none by itself is the wrong one.
  if (!["radio", "checkbox"].includes(field.type)) {
    field.setAttribute("aria-invalid", "true");
    const help = field.getAttribute("aria-describedby") ?? "";
    field.setAttribute("aria-describedby", `${help} ${id}`.trim());
  }
  const label = place && one("legend, label", place);
  const row = field.closest(".tablet-slot, .tablet-check, .tablet-cost");
  const named = [row && one("legend", row), label?.firstChild];
  const called = named.map((words) => words?.textContent.trim()).filter(Boolean).join(": ");
  const link = element("a", called || text, { href: `#${field.id}` });
  link.addEventListener("click", (event) => {
    event.preventDefault();
    const section = field.closest("[data-step]");
    if (section) stepShow(section.dataset.step);
    each("details", section ?? document).forEach((d) => d.contains(field) && (d.open = true));
    field.focus();
  });
  line.append(link, `: ${text}`);
  return line;
}

function faultsShow(faults) {
  faultsClear();
  one("[data-fault-list]").replaceChildren(...faults.map(lineOf));
  summary.hidden = !faults.length;
  if (faults.length) summary.focus();
}

async function leave(ways) {
  const { key } = draft;
  await photosSettled();
  // A second press while a photo was waited for finds the draft gone.
  if (draft?.key !== key) return;
  const faults = [...missing(ways), ...impossible()];
  faultsShow(faults);
  if (faults.length) return;
  const { payload, names } = payloadOf(draft, ways, await photosOf(draft.key));
  Object.assign(draft, { payload, names, state: "waiting", answer: {}, note: "" });
  await saveNow();
  await homeShow();
  await send();
}

on("sign", (button) => leave({ sign: true, findings_signed: button.dataset.findings === "yes" }));
on("hand-over", () => leave({ sign: false, findings_signed: false }));

on("discard", async (button) => {
  // The second press throws away; the first only asks.
  if (button.dataset.sure !== draft.key) {
    button.dataset.sure = draft.key;
    button.textContent = "Press again to throw it away for good";
    return;
  }
  const { key } = draft;
  for (const photo of await photosOf(key)) await drop("photos", photo.key);
  await homeShow();
  await drop("drafts", key);
  await homeShow();
});

changed((path) => {
  if (path !== "opened") return;
  faultsClear();
  one("[data-do=discard]").textContent = "Throw this draft away";
  const errors = draft.answer.errors ?? [];
  if (errors.some(({ field }) => field === "save_anyway")) draft.data.ask_again = "yes";
  const shown = errors.map(({ field, text }) => ({ name: nameOf(field, draft.names ?? {}), text }));
  if (shown.length) setTimeout(() => faultsShow(shown));
});
