/* Sends what waits: a fresh token, the entry, then its photos. A draft goes only when
   the server names its key; whatever else comes back leaves it here. */
import { ask } from "./asking.js";
import { all, drop, put } from "./db.js";
import { keptShow } from "./kept.js";
import { config, on, say } from "./page.js";
import { photosOf } from "./photos.js";
import { registerRead } from "./register.js";

const EVERY_MS = 60_000;
const { urls, user } = config;
const tabs = new BroadcastChannel("tablet");
const GOING = ["waiting", "stored", "question"];
const LOG_IN = { label: "Log in to send", url: `${urls.login}?next=${urls.shell}` };

export const loggedOut = () => say("You are logged out. What you type is kept here.", LOG_IN);

async function token() {
  const { status, body } = await ask(urls.token);
  if (status === 401) loggedOut();
  else if (status !== 200) say("No network, or no answer: kept here and tried again.");
  else if (body.user_id === user.id) return body.token;
  else say("Somebody else is logged in.", { label: "Load this page anew", url: urls.shell });
  return null;
}

/* The list of this tab, and of every other one. */
async function listsShow() {
  tabs.postMessage("changed");
  await keptShow();
}

async function move(draft, changes) {
  Object.assign(draft, changes);
  await put("drafts", draft);
  await listsShow();
}

async function entrySend(draft, headers) {
  await put("drafts", Object.assign(draft, { is_tried: true }));
  const json = { ...headers, "Content-Type": "application/json" };
  const body = JSON.stringify(draft.payload);
  const { status, body: answer } = await ask(urls.entries, { method: "POST", headers: json, body });
  const isOurs = answer?.key === draft.key;
  if ((status === 200 || status === 201) && isOurs) {
    const state = answer.state === "question" ? "question" : "stored";
    await move(draft, { state, answer, note: "" });
  } else if (status === 409 && isOurs) {
    await move(draft, { state: "question", answer });
  } else if ([400, 403, 413, 422].includes(status)) {
    const errors = answer.errors ?? [{ field: "", text: answer.error ?? "Refused." }];
    await move(draft, { state: "refused", answer: { errors }, note: errors[0]?.text });
  }
  return status;
}

async function questionAsk(draft) {
  const { status, body } = await ask(`${urls.entries}${draft.key}/`);
  if (status === 200 && body.key === draft.key && body.state !== "question") {
    await move(draft, { state: "stored", answer: body });
  }
  return status;
}

async function photoSend(photo, headers) {
  const body = new FormData();
  for (const name of ["key", "entry_key", "caption"]) body.append(name, photo[name]);
  body.append("picture", photo.picture, `${photo.key}.jpg`);
  const { status, body: answer } = await ask(urls.photos, { method: "POST", headers, body });
  const isTaken = (status === 200 || status === 201) && answer.key === photo.key;
  if (isTaken) await drop("photos", photo.key);
  return { status, fault: answer?.errors?.[0]?.text ?? answer?.error ?? "" };
}

async function photosSend(draft, headers) {
  // Answered by withdrawing it: there is no repair that a photo could go to.
  const isWithdrawn = !draft.answer.url;
  for (const photo of await photosOf(draft.key)) {
    if (isWithdrawn) await drop("photos", photo.key);
    if (isWithdrawn) continue;
    const { status, fault } = await photoSend(photo, headers);
    if (status === 401) return;
    if (fault) await move(draft, { note: `A photo was not taken: ${fault}` });
  }
  if ((await photosOf(draft.key)).length) return;
  const { key, user_id, made_at, updated_at, place, answer } = draft;
  const left = { key, user_id, made_at, updated_at, answer, place: { tag: place.tag } };
  await put("drafts", { ...left, state: "sent", note: isWithdrawn ? "Withdrawn" : null });
  await listsShow();
}

async function sendAll() {
  const rows = await all("drafts");
  const mine = rows.filter((row) => row.user_id === user.id && GOING.includes(row.state));
  if (!mine.length) return;
  const fresh = await token();
  if (!fresh) return;
  say("");
  const headers = { "X-CSRFToken": fresh };
  for (const draft of mine) {
    if (draft.state === "waiting") await entrySend(draft, headers);
    else if (draft.state === "question") await questionAsk(draft);
    if (draft.state === "stored") await photosSend(draft, headers);
  }
  // What was sent has changed what the pump carries and when it was last repaired.
  registerRead();
}

/* One flush at a time, whatever the number of tabs; a second caller waits its turn. */
export const send = () => navigator.locks.request("tablet-send", sendAll);

tabs.onmessage = keptShow;
on("send", send);
addEventListener("online", send);
setInterval(send, EVERY_MS);
