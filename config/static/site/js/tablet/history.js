/* The browser's Back goes to the step before, and from the first one to the pumps. */
import { changed, draft } from "./draft.js";
import { homeShow } from "./home.js";
import { stepShow } from "./steps.js";

/* Left by a button: the steps must not lie between the pumps and the page before. */
export function stepsLeave() {
  if (history.state?.depth) history.go(-history.state.depth);
}

changed((path) => {
  const [, step] = /^step\.(.+)$/.exec(path) ?? [];
  const { key, depth = 0, ...at } = history.state ?? {};
  if (!step || (at.step === step && key === draft.key)) return;
  history.pushState({ key: draft.key, step, depth: depth + 1 }, "");
});

addEventListener("popstate", ({ state }) => {
  // The link to the content is a step of the page, not of the form.
  if (!draft || location.hash) return;
  if (state?.key === draft.key) stepShow(state.step);
  else homeShow();
});
