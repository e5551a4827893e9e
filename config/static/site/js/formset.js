/* Lets a Django formset grow: clones its <template>, numbers the copy and
   raises TOTAL_FORMS. Without script the server's extra rows do the job. */

function addRow(formset) {
  const total = formset.querySelector(
    `[name="${formset.dataset.formset}-TOTAL_FORMS"]`,
  );
  const rows = formset.querySelector("[data-formset-rows]");
  const template = formset.querySelector("[data-formset-template]");
  const holder = document.createElement("div");
  holder.innerHTML = template.innerHTML.replaceAll("__prefix__", total.value);
  const row = holder.firstElementChild;
  rows.append(row);
  total.value = Number(total.value) + 1;
  row.querySelector("input:not([type=hidden]), select, textarea")?.focus();
  row.dispatchEvent(new CustomEvent("formset:added", { bubbles: true }));
}

function limitReached(formset) {
  const prefix = formset.dataset.formset;
  const total = formset.querySelector(`[name="${prefix}-TOTAL_FORMS"]`);
  const most = formset.querySelector(`[name="${prefix}-MAX_NUM_FORMS"]`);
  return Number(total.value) >= Number(most.value);
}

document.querySelectorAll("[data-formset]").forEach((formset) => {
  const button = formset.querySelector("[data-formset-add]");
  button.hidden = limitReached(formset);
  button.addEventListener("click", () => {
    addRow(formset);
    button.hidden = limitReached(formset);
  });
});
