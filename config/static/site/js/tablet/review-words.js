/* What was answered, read back from the fields in the order in which they stand. */
import { each, element, one } from "./page.js";

function answerOf(field) {
  if (field.type === "checkbox" || field.type === "radio") {
    const label = field.closest("label");
    return field.checked ? (one("b", label) ?? label).innerText.trim() : "";
  }
  if (field.type === "datetime-local") return field.value.replace("T", " ");
  return field.value && (field.selectedOptions?.[0].text ?? field.value.trim());
}

function questionOf(field) {
  const group = field.closest("fieldset.form-field, fieldset.tablet-cards");
  const label = group ? one("legend", group) : one(`label[for="${field.id}"]`);
  return label.firstChild.textContent.trim();
}

export function wordsOf(section) {
  const list = element("dl");
  for (const field of each("[name]", section)) {
    const answer = answerOf(field);
    const isUnit = field.name.endsWith("-unit");
    // A reason asked for beyond the limit is none once the value is within it.
    if (!answer || isUnit || field.closest("[data-out][hidden]")) continue;
    const row = field.closest(".tablet-slot, .tablet-check");
    const words = [row && one("legend", row).innerText, questionOf(field)].filter(Boolean);
    const unit = row && /-(found|left)$/.test(field.name) ? ` ${one("select", row).value}` : "";
    list.append(element("dt", words.join(": ")), element("dd", answer + unit));
  }
  for (const words of each("[data-ending]", section)) {
    const place = one("legend", words.closest(".tablet-slot")).innerText;
    if (words.textContent) list.append(element("dt", place), element("dd", words.textContent));
  }
  return list.children.length ? list : element("p", "Nothing entered.");
}

export function photosInWords() {
  const captions = each("[data-caption]").map((field) => field.value.trim() || "no caption");
  const listed = captions.length ? ` (${captions.join("; ")})` : "";
  return element("p", `Photos: ${captions.length}${listed}.`);
}
