/* A repair that waits, to be read or mended before it is sent. */
import { ask } from "./asking.js";
import { get, put } from "./db.js";
import { keptShow } from "./kept.js";
import { config, say } from "./page.js";

const LATER = "It may have reached the log already: it can be taken back when there is network.";
const SENT = "It has reached the log already: mend it there.";

/* Under the lock of the sending: what is under way cannot be taken back as well. */
export const takeBack = (key) => navigator.locks.request("tablet-send", () => backNow(key));

async function backNow(key) {
  const row = await get("drafts", key);
  if (row?.state !== "waiting") return keptShow().then(() => null);
  // Its answer may have been lost on the way: only the server knows.
  if (row.is_tried) {
    const { status } = await ask(`${config.urls.entries}${key}/`);
    if (status !== 404) {
      say(status === 200 ? SENT : LATER);
      return null;
    }
  }
  const { payload, names, is_tried, ...kept } = row;
  const back = { ...kept, state: "kept", step: "review" };
  await put("drafts", back);
  return back;
}
