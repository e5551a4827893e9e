/* The draft at hand: read and written by path, kept on the tablet as it is typed. */
import { get, put } from "./db.js";
import { config, say } from "./page.js";

const PAUSE_MS = 200;
/* States in which a draft may be typed on; what waits or is sent stays as it is. */
const TYPED = ["kept", "refused"];
const listeners = [];
let timer;

export let draft = null;

export function draftOpen(row) {
  draft = row;
}

export function draftNew(place, made_at) {
  const now = new Date().toISOString();
  return {
    ...{ key: crypto.randomUUID(), user_id: config.user.id, state: "kept" },
    ...{ made_at: now, updated_at: now, register_made_at: made_at },
    ...{ place, step: "noticed", data: {}, answer: {} },
  };
}

export const changed = (listener) => listeners.push(listener);
export const tell = (path) => listeners.forEach((listener) => listener(path));

export function read(path) {
  return path.split(".").reduce((value, key) => value?.[key], draft?.data);
}

export function write(path, value) {
  const keys = path.split(".");
  const last = keys.pop();
  const place = keys.reduce((found, key) => (found[key] ??= {}), draft.data);
  if (place[last] === value) return;
  place[last] = value;
  save();
  tell(path);
}

export function save() {
  clearTimeout(timer);
  timer = setTimeout(saveNow, PAUSE_MS);
}

export async function saveNow() {
  clearTimeout(timer);
  if (!draft) return;
  draft.updated_at = new Date().toISOString();
  try {
    const stored = await get("drafts", draft.key);
    if (stored && !TYPED.includes(stored.state)) say("This repair was signed in another tab.");
    else await put("drafts", draft);
  } catch {
    say("This tablet has no room left to keep what you type. Remove sent repairs or photos.");
  }
}

document.addEventListener("visibilitychange", () => document.hidden && saveNow());
addEventListener("pagehide", saveNow);
