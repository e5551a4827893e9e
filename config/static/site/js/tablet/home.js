/* The first view: find the pump and begin a draft for it, or go on with one. */
import { begunAlready, begunHide, begunOffer } from "./begun.js";
import { drop, get, put } from "./db.js";
import { draft, draftNew, draftOpen, saveNow, tell } from "./draft.js";
import { showFields } from "./fields.js";
import { held, letGo } from "./held.js";
import { stepsLeave } from "./history.js";
import { keptShow, keyOf } from "./kept.js";
import { config, on, one, stamp } from "./page.js";
import { placeOf, positionOfCode, positionsFound, register, registerRead, registerSettled, storedSaid } from "./register.js";
import { photosSettled } from "./photos.js";
import { stepShow } from "./steps.js";
import { takeBack } from "./taking-back.js";

const MOST = 20;
const search = one("[data-search]");
const recentKey = `recent-${config.user.id}`;

export async function homeShow() {
  await photosSettled();
  const isBlank = draft && !Object.values(draft.data).some(Boolean);
  if (isBlank) await drop("drafts", draft.key);
  else await saveNow();
  draftOpen(null);
  letGo();
  stepsLeave();
  one("[data-work]").hidden = true;
  one("[data-home]").hidden = false;
  one(".page-header").hidden = false;
  search.value = "";
  begunHide();
  await Promise.all([foundShow(), keptShow()]);
}

export async function foundShow() {
  const recent = (await get("register", recentKey))?.positions ?? [];
  const known = recent.map((id) => register?.positions.find((p) => p.id === id));
  const found = search.value.trim() ? positionsFound(search.value) : known.filter(Boolean);
  const many = found.length > MOST ? `, the first ${MOST} of them shown` : "";
  one("[data-found-heading]").textContent = search.value.trim()
    ? (!found.length && storedSaid(search.value)) || `${found.length} found${many}`
    : "Recent";
  one("[data-found-heading]").hidden = !search.value.trim() && !found.length;
  one("[data-found]").replaceChildren(...found.slice(0, MOST).map(line));
}

function line(position) {
  const serial = position.pump?.serial ?? "no pump on record";
  const item = stamp("found", { ...position, serial });
  one("button", item).addEventListener("click", () => pick(position));
  return item;
}

export async function pick({ id }) {
  await registerSettled();
  const position = register.positions.find((p) => p.id === id);
  if (!position) return foundShow();
  const recent = (await get("register", recentKey))?.positions ?? [];
  const positions = [id, ...recent.filter((other) => other !== id)];
  await put("register", { key: recentKey, positions: positions.slice(0, 8) });
  const begin = () => work(draftNew(placeOf(position), register.made_at));
  const row = await begunAlready(id);
  if (!row) return begin();
  begunOffer(row, { begin, goOn: async () => work(await get("drafts", row.key)) });
  return row;
}

async function work(row) {
  if (!(await held(row.key))) return keptShow();
  draftOpen(row);
  one("[data-home]").hidden = true;
  one(".page-header").hidden = true;
  one("[data-work]").hidden = false;
  tell("opened");
  showFields(one("[data-work]"));
  stepShow(row.step);
  return row;
}

on("open", async (button) => work(await get("drafts", keyOf(button))));
on("take-back", async (button) => {
  const row = await takeBack(keyOf(button));
  if (row) work(row);
});
on("home", async () => {
  await homeShow();
  if (navigator.onLine) registerRead();
});
search.addEventListener("input", () => {
  begunHide();
  foundShow();
});
/* The camera's answer comes as a submitted form: a code printed on a tag, or its address. */
search.form.addEventListener("submit", (event) => {
  const position = register && positionOfCode(search.form.elements.code.value);
  if (position) pick(position);
  // What is not in this register, a pump's own tag say, the server may know.
  if (position || !navigator.onLine) event.preventDefault();
});
search.addEventListener("keydown", (event) => {
  const first = one("[data-found] button");
  if (event.key !== "Enter") return;
  event.preventDefault();
  first?.click();
});
