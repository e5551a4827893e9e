/* A second draft of the same pump begins only when asked for: the first is offered. */
import { all } from "./db.js";
import { config, on, one } from "./page.js";

const offer = one("[data-begun]");
let ways = {};

export async function begunAlready(position) {
  const rows = await all("drafts");
  const mine = rows.filter((row) => row.user_id === config.user.id && row.place.id === position);
  mine.sort((a, b) => b.updated_at.localeCompare(a.updated_at));
  return mine.find((row) => ["kept", "refused"].includes(row.state));
}

export function begunOffer(row, chosen) {
  ways = chosen;
  const when = new Date(row.updated_at).toLocaleString("sv-SE").slice(0, 16);
  const words = `You have a draft of ${row.place.tag}, kept here, last changed ${when}.`;
  one("[data-begun-words]", offer).textContent = words;
  offer.hidden = false;
  one("button", offer).focus();
}

export function begunHide() {
  offer.hidden = true;
}

on("go-on", () => ways.goOn());
on("begin", () => ways.begin());
