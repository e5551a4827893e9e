/* The state of every repair that this tablet keeps for whoever is logged in; of other
   people's only how many. What was sent leaves the list after a week. */
import { all, drop } from "./db.js";
import { config, on, one, stamp } from "./page.js";
import { photosOf } from "./photos.js";

const WEEK_MS = 7 * 24 * 3600 * 1000;
const STATES = {
  kept: "Kept here",
  refused: "Kept here, to be mended",
  waiting: "Waiting to be sent",
  stored: "Sent, photos still to go",
  question: "Needs an answer",
  sent: "Sent",
};

export const keyOf = (button) => button.closest("[data-key]").dataset.key;

export async function keptShow() {
  const rows = await all("drafts");
  const week = new Date(Date.now() - WEEK_MS).toISOString();
  const past = rows.filter((row) => row.state === "sent" && row.updated_at < week);
  for (const row of past) await drop("drafts", row.key);
  const mine = rows.filter((row) => row.user_id === config.user.id);
  const others = rows.filter((row) => row.user_id !== config.user.id && row.state !== "sent");
  mine.sort((a, b) => b.updated_at.localeCompare(a.updated_at));
  one("[data-kept]").hidden = !mine.length;
  one("[data-drafts]").replaceChildren(...mine.map(keptLine));
  const waiting = mine.some((row) => ["waiting", "stored", "question"].includes(row.state));
  one("[data-do=send]").hidden = !waiting;
  const words = others.length === 1 ? "1 repair" : `${others.length} repairs`;
  one("[data-others]").textContent = `${words} of another person kept here.`;
  one("[data-others]").hidden = !others.length;
}

function keptLine(row) {
  const when = new Date(row.updated_at).toLocaleString("sv-SE").slice(0, 16);
  const note = row.answer.question ?? row.note ?? row.answer.number ?? "";
  const item = stamp("draft", { tag: row.place.tag, when, state: STATES[row.state], note });
  item.dataset.key = row.key;
  item.dataset.state = row.state;
  one("[data-do=open]", item).hidden = !["kept", "refused"].includes(row.state);
  one("[data-do=take-back]", item).hidden = row.state !== "waiting";
  // A photo that the server will not take must not keep the repair in the list.
  const isOver = row.state === "sent" || (row.state === "stored" && row.note);
  one("[data-do=forget]", item).hidden = !isOver;
  const way = one("[data-way]", item);
  way.href = row.answer.question_url || row.answer.url || "";
  way.hidden = !way.getAttribute("href");
  way.textContent = row.state === "question" ? "Answer" : "Open in the log";
  return item;
}

on("forget", async (button) => {
  const key = keyOf(button);
  for (const photo of await photosOf(key)) await drop("photos", photo.key);
  await drop("drafts", key);
  await keptShow();
});
