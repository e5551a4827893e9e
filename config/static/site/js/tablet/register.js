/* The register of pumps as this tablet last read it, kept for the one who read it. */
import { get, put } from "./db.js";
import { config } from "./page.js";
import { ask } from "./asking.js";

const PATIENCE_MS = 2000;
const EVERY_MS = 10 * 60_000;
let reading;

export let register = null;

export async function registerKept() {
  const row = await get("register", config.user.id);
  register = row?.content ?? null;
}

/* Read it anew; answers the status, 0 without network. */
export function registerRead() {
  reading = readNow();
  return reading;
}

/* A pump is picked from what is being read just now, if that comes soon. */
export const registerSettled = () =>
  Promise.race([reading, new Promise((resolve) => setTimeout(resolve, PATIENCE_MS))]);

async function readNow() {
  const answer = await ask(config.urls.register);
  if (answer.status === 200 && answer.body.user?.id === config.user.id) {
    register = answer.body;
    await put("register", { key: config.user.id, content: register });
    dispatchEvent(new Event("register-read"));
  }
  return answer.status;
}

const plain = (text) => `${text ?? ""}`.toLowerCase().replace(/[^\p{L}\p{N}]/gu, "");

/* Positions that hold every word typed in tag, serial, service or code; tags first. */
export function positionsFound(typed) {
  if (typed.includes("/")) {
    const named = register && positionOfCode(typed);
    if (named) return [named];
  }
  const words = typed.split(/\s+/).map(plain).filter(Boolean);
  if (!register || !words.length) return [];
  const text = (p) => [p.tag, p.pump?.serial, p.service, p.code, p.pump?.code].map(plain).join(" ");
  const found = register.positions.filter((p) => words.every((w) => text(p).includes(w)));
  const late = (p) => Number(!plain(p.tag).includes(words[0]));
  return found.sort((a, b) => late(a) - late(b) || a.tag.localeCompare(b.tag));
}

const isNamed = (typed, code) => Boolean(code) && plain(typed).endsWith(plain(code));

/* By the code of the position or of the pump there, alone or at the end of an address. */
export const positionOfCode = (typed) =>
  register.positions.find((p) => isNamed(typed, p.code) || isNamed(typed, p.pump?.code));

/* What to say of a pump that stands nowhere. */
export function storedSaid(typed) {
  const pump = register?.store_pumps.find(
    ({ code, serial }) => isNamed(typed, code) || plain(serial) === plain(typed),
  );
  return pump && `${pump.serial} is in the store: log its work on the ordinary form.`;
}

/* A position with its site's words and zone: all that a draft needs to know of it. */
export function placeOf(position) {
  const site = register.sites.find((found) => found.id === position.site);
  const store = register.store_pumps.filter((pump) => pump.site === position.site);
  const { zone, currency, rework_window_days } = site;
  return { ...position, zone, currency, rework_window_days, store };
}

addEventListener("online", registerRead);
setInterval(() => navigator.onLine && registerRead(), EVERY_MS);
