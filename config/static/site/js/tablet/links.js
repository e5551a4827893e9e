/* Without network a link would leave the form for the browser's error page. */
import { element } from "./page.js";
import { register } from "./register.js";

const NEEDS_NETWORK = "This page needs network. What you typed is kept here.";

function told(sentences) {
  const dialog = element("dialog", "", { class: "tablet-ask", "aria-label": "Without network" });
  const close = element("button", "Close", { type: "button", class: "button" });
  close.addEventListener("click", () => dialog.remove());
  dialog.addEventListener("cancel", () => dialog.remove());
  dialog.append(...sentences.map((sentence) => element("p", sentence)), close);
  document.body.append(dialog);
  dialog.showModal();
}

document.addEventListener("click", (event) => {
  const link = event.target.closest("[data-tablet] a[href]");
  const leads = link && !link.getAttribute("href").startsWith("#");
  if (!leads || navigator.onLine) return;
  event.preventDefault();
  const cautions = link.matches("[data-cautions]") ? (register?.cautions ?? []) : [];
  told(cautions.length ? cautions : [NEEDS_NETWORK]);
});
