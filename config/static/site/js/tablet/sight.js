/* The pump at hand, always in sight: plate, hazards, its last repairs, rework. */
import { changed, draft, read } from "./draft.js";
import { each, element, fill, one } from "./page.js";

const sight = one("[data-sight]");

const isRework = ({ days_since_last: days, rework_window_days }) =>
  days !== null && days <= rework_window_days;

/* The strip stays on the screen while the step scrolls below it. */
function stripShow() {
  const { place } = draft;
  const plate = { agrees: "plate agrees", another: "another plate", "not read": "plate not read" };
  const words = [
    `${place.tag}, ${place.pump?.serial ?? "no pump"}`,
    plate[read("plate.answer")] ?? "plate not checked",
    place.hazards.join(", ").toLowerCase(),
    isRework(place) && "rework",
    "kept here",
  ];
  one("[data-strip]").textContent = words.filter(Boolean).join(" · ");
}

changed((path) => {
  if (path === "opened" || path === "plate.answer") stripShow();
  if (path !== "opened") return;
  const { place } = draft;
  const { pump, days_since_last: days } = place;
  // The letter of a spare stands behind a number; any other letter is part of a name.
  const [, stem, letter] = /^(.*\d[ -]?)([A-Da-d])$/.exec(place.tag) ?? ["", place.tag];
  const hazards = place.hazards.map((word) => word.toLowerCase()).join(", ");
  const make = [pump?.maker, pump?.design, pump?.size].filter(Boolean).join(", ");
  fill(sight, {
    ...{ stem, letter, make },
    service: [place.service, place.liquid].filter(Boolean).join(" · "),
    hazards: hazards && `Liquid: ${hazards}`,
    serial: pump?.serial ?? "no pump on record here",
    rework: isRework(place)
      ? `Again within ${place.rework_window_days} days: this will be marked as rework.`
      : "",
    since: days === null ? "No earlier repair on record." : `${days.toLocaleString("en")} days since the last repair`,
  });
  for (const words of each("[data-currency]")) words.textContent = place.currency;
  const last = place.last_repairs.map((repair) => {
    const item = element("li");
    item.append(element("a", repair.number, { href: repair.url }), ` ${repair.on} ${repair.text}`);
    return item;
  });
  one("[data-last]", sight).replaceChildren(...last);
  const open = place.open_repair;
  one("[data-open]", sight).hidden = !open;
  if (!open) return;
  one("[data-open-link]", sight).textContent = open.number;
  one("[data-open-link]", sight).href = open.url;
});
