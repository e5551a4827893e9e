/* One tab at a time types on a draft: the whole of it is kept, and the last would win. */
import { say } from "./page.js";

const OPEN = "This draft is open in another tab. Go on there, or close that tab first.";
let release = () => {};
let isRefused = false;

export function letGo() {
  release();
  release = () => {};
}

/* True once this tab alone has the draft; it keeps it until it lets go or closes. */
export function held(key) {
  letGo();
  return new Promise((resolve) => {
    navigator.locks.request(`tablet-draft-${key}`, { ifAvailable: true }, (lock) => {
      if (!lock || isRefused) say(lock ? "" : OPEN);
      isRefused = lock === null;
      resolve(lock !== null);
      return lock && new Promise((done) => (release = done));
    });
  });
}
