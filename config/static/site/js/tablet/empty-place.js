/* A part fitted at a place with nothing on record, added and taken away again. */
import { read, save, tell, write } from "./draft.js";
import { showFields } from "./fields.js";
import { on, one } from "./page.js";
import { slotsShow } from "./swap.js";

const choice = one("[data-empty-place]");

function slotsShowAnew() {
  slotsShow();
  showFields(one("[data-step=done]"));
}

choice.addEventListener("input", () => {
  const slot = choice.value;
  if (!slot) return;
  write(`done.slots.${slot}`, {});
  slotsShowAnew();
  one(`[data-slot="${slot}"] [data-new] input`).focus();
});

on("drop-slot", (button) => {
  delete read("done.slots")[button.closest("[data-slot]").dataset.slot];
  save();
  tell("done.slots");
  slotsShowAnew();
  choice.focus();
});
