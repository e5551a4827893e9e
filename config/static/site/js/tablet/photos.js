/* Photos: made smaller here, kept beside the draft until the server has them. */
import { all, drop, get, put } from "./db.js";
import { changed, draft, read, write } from "./draft.js";
import { config, each, element, on, one, say, stamp } from "./page.js";

const LONGEST_PX = 2000;
const list = one("[data-photos]");
let keeping = Promise.resolve();

/* Signing and leaving wait until every photo chosen is kept here. */
export const photosSettled = () => keeping;

export async function photosOf(key) {
  return (await all("photos")).filter((photo) => photo.entry_key === key);
}

async function smaller(file) {
  const picture = await createImageBitmap(file);
  const scale = Math.min(1, LONGEST_PX / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.round(picture.width * scale);
  canvas.height = Math.round(picture.height * scale);
  canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
  return new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", 0.85));
}

async function photosShow() {
  each("img", list).forEach((image) => URL.revokeObjectURL(image.src));
  if (!draft) return;
  const key = draft.key;
  const photos = await photosOf(key);
  if (draft?.key !== key) return;
  list.replaceChildren();
  if (photos.length !== read("photos")) write("photos", photos.length);
  for (const photo of photos) {
    const note = `${Math.round(photo.picture.size / 1024)} kB`;
    const item = stamp("photo", { note }, photo.key);
    one("img", item).src = URL.createObjectURL(photo.picture);
    one("[data-caption]", item).value = photo.caption;
    list.append(item);
  }
}

async function photosKeep(files, entry_key) {
  say("A photo is being made smaller. Signing and leaving wait for it.");
  for (const file of files) {
    try {
      const picture = await smaller(file);
      const owner = { entry_key, user_id: config.user.id };
      await put("photos", { key: crypto.randomUUID(), ...owner, caption: "", picture });
    } catch {
      list.after(element("p", `${file.name} cannot be read as a picture.`, { role: "alert", "data-unread": "" }));
    }
  }
  say("");
  await photosShow();
}

one("[data-camera]").addEventListener("change", ({ target }) => {
  const files = [...target.files];
  const { key } = draft;
  target.value = "";
  keeping = keeping.then(() => photosKeep(files, key));
});
list.addEventListener("input", async ({ target }) => {
  const photo = await get("photos", target.dataset.caption);
  await put("photos", { ...photo, caption: target.value });
});
on("drop-photo", async (button) => drop("photos", button.dataset.key).then(photosShow));
changed((path) => {
  if (path !== "opened") return;
  each("[data-unread]").forEach((words) => words.remove());
  photosShow();
});
