/* The failed item narrows the patterns; patterns propose, the fitter confirms. */
import { changed, read } from "./draft.js";
import { set, showFields } from "./fields.js";
import { each, element, on, one, stamp } from "./page.js";
import { register } from "./register.js";

const list = one("[data-pattern-list]");

function patternsShow() {
  const item = read("found.item");
  const chosen = read("found.patterns") ?? [];
  const offered = (register?.patterns ?? []).filter(
    (pattern) => pattern.items.includes(item) || chosen.includes(pattern.code),
  );
  one("[data-patterns]").hidden = !offered.length;
  list.replaceChildren(...offered.map((pattern) => stamp("pattern", pattern, pattern.code)));
  showFields(list);
}

/* Below each chosen pattern: mechanism and cause that it usually means, to agree to. */
function hintsShow() {
  const chosen = read("found.patterns") ?? [];
  for (const pattern of each("[data-pattern]", list)) {
    const { code, mechanisms, causes } = register.patterns.find(
      (known) => known.code === pattern.dataset.pattern,
    );
    const pairs = mechanisms.flatMap((mechanism) =>
      (causes.length ? causes : [""]).map((cause) => hint(mechanism, cause)),
    );
    one("[data-hints]", pattern).hidden = !chosen.includes(code);
    one("[data-hint-list]", pattern).replaceChildren(...pairs);
  }
}

function hint(mechanism, cause) {
  const words = (name, code) =>
    each("option", one(`[name=found-${name}]`)).find((o) => o.value === code)?.text;
  const both = [
    words("mechanism", mechanism),
    words("cause", cause || "-"),
  ].filter(Boolean);
  const attributes = { type: "button", class: "tablet-choice", "data-do": "agree" };
  const isChosen =
    read("found.mechanism") === mechanism && (!cause || read("found.cause") === cause);
  return element("button", both.join(" · "), {
    ...attributes,
    "data-mechanism": mechanism,
    "data-cause": cause,
    "aria-pressed": isChosen,
  });
}

on("agree", (button) => {
  const { mechanism, cause } = button.dataset;
  const { pattern } = button.closest("[data-pattern]").dataset;
  set(one("[name=found-mechanism]"), mechanism);
  if (cause) set(one("[name=found-cause]"), cause);
  const same = `[data-mechanism="${mechanism}"][data-cause="${cause}"]`;
  one(`[data-pattern="${pattern}"] ${same}`).focus();
});

changed((path) => {
  if (path === "opened" || path === "found.item") patternsShow();
  if (path === "opened" || path.startsWith("found.")) hintsShow();
});
