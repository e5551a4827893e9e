/* Starts the form: register, kept drafts, worker; adds what only scripts can do. */
import "./asking.js";
import "./checks.js";
import "./empty-place.js";
import "./found.js";
import "./links.js";
import "./sight.js";
import "./signing.js";
import "./swap.js";
import { foundShow, homeShow, pick } from "./home.js";
import { config, one, say } from "./page.js";
import { register, registerKept, registerRead } from "./register.js";
import { loggedOut, send } from "./sending.js";

function registerSay() {
  const made = register && new Date(register.made_at).toLocaleString("sv-SE").slice(0, 16);
  one("[data-register]").textContent = register
    ? `${register.positions.length} positions, as of ${made}.`
    : "This tablet keeps no pumps of yours yet: open this page once with network.";
}

async function start() {
  one("[data-tablet]").hidden = false;
  await registerKept();
  const wasKept = register !== null;
  const reading = registerRead();
  if (!wasKept) await reading;
  await homeShow();
  registerSay();
  one("[data-search]").focus();
  await preselect();
  if ((await reading) === 401) loggedOut();
  registerSay();
  if (wasKept && !one("[data-home]").hidden) (await preselect()) ?? (await foundShow());
  await send();
}

addEventListener("register-read", () => {
  registerSay();
  if (!one("[data-home]").hidden) foundShow();
});

function preselect() {
  const asked = new URLSearchParams(location.search).get("position");
  const position = register?.positions.find((p) => `${p.id}` === asked);
  if (!position) return null;
  // A reload must not begin a second draft.
  history.replaceState(null, "", config.urls.shell);
  return pick(position);
}

if (isSecureContext) {
  await start();
  await navigator.serviceWorker.register(config.urls.worker, { scope: config.urls.shell });
  await navigator.storage.persist?.();
} else {
  one("[data-tablet]").hidden = false;
  say("Browsers keep drafts only for addresses that begin with https.");
}
