/* On every page: logging out asks before repairs of this person that are not sent are
   cleared from the tablet, and takes the register off it. */
const script = document.querySelector("script[data-user]");
const user = Number(script.dataset.user);
const WAYS = [
  ["Stay logged in", "stay"],
  ["Log out, keep them here for me", "keep"],
  ["Log out and clear them for good", "clear"],
];

async function unsent(db) {
  const rows = await db.all("drafts");
  return rows.filter((row) => row.user_id === user && row.state !== "sent");
}

function toldOffline() {
  const dialog = document.createElement("dialog");
  dialog.className = "tablet-ask";
  dialog.setAttribute("aria-label", "No network");
  const words = document.createElement("p");
  words.textContent = "Logging out needs network. You are still logged in; nothing was cleared.";
  const close = document.createElement("button");
  Object.assign(close, { type: "button", className: "button", textContent: "Close" });
  close.addEventListener("click", () => dialog.remove());
  dialog.addEventListener("cancel", () => dialog.remove());
  dialog.append(words, close);
  document.body.append(dialog);
  dialog.showModal();
}

function answered(count) {
  const dialog = document.createElement("dialog");
  dialog.className = "tablet-ask";
  const words = count === 1 ? "1 repair is" : `${count} repairs are`;
  const question = document.createElement("p");
  question.textContent = `${words} kept on this tablet and not sent.`;
  dialog.append(question);
  dialog.setAttribute("aria-label", "Repairs not sent");
  return new Promise((resolve) => {
    for (const [label, way] of WAYS) {
      const button = document.createElement("button");
      Object.assign(button, { type: "button", className: "button", textContent: label });
      button.addEventListener("click", () => (dialog.remove(), resolve(way)));
      dialog.append(button);
    }
    dialog.addEventListener("cancel", () => (dialog.remove(), resolve("stay")));
    document.body.append(dialog);
    dialog.showModal();
  });
}

async function clear(db, rows, way) {
  const keys = way === "clear" ? rows.map((row) => row.key) : [];
  for (const key of keys) await db.drop("drafts", key);
  for (const photo of await db.all("photos")) {
    if (keys.includes(photo.entry_key)) await db.drop("photos", photo.key);
  }
  await db.drop("register", user);
  for (const name of await caches.keys()) {
    await (await caches.open(name)).delete(script.dataset.shell);
  }
}

/* What is to be cleared after logging out; null when the person chose to stay. */
async function asked() {
  const stores = (await indexedDB.databases?.()) ?? [];
  if (!stores.some(({ name }) => name === "tablet")) return async () => {};
  const db = await import("./db.js");
  const rows = await unsent(db);
  const way = rows.length ? await answered(rows.length) : "keep";
  return way === "stay" ? null : () => clear(db, rows, way);
}

document.addEventListener("submit", async (event) => {
  const form = event.target;
  if (!form.matches(".site-account")) return;
  event.preventDefault();
  if (!navigator.onLine) return toldOffline();
  // Whatever goes wrong on the tablet must not keep anybody logged in.
  const cleared = await asked().catch(() => async () => {});
  if (!cleared) return;
  // Logged out first: without an answer of the server nothing may be cleared.
  const way = { method: "POST", body: new FormData(form), signal: AbortSignal.timeout(20_000) };
  const answer = await fetch(form.action, way).catch(() => null);
  if (!answer) return toldOffline();
  if (!answer.ok) return form.submit();
  await cleared().catch(() => {});
  location.assign(answer.url);
});
