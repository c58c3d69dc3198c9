/**
 * Pictures on a card: made smaller on the phone, kept in the store `photos`. Making one anew leaves out what the camera had written
 * into it, such as the place.
 *
 * @typedef {{blob: Blob, width: number, height: number, type: string}} Picture
 * @typedef {import("./json-text.js").Problem} Problem
 */

import { notePhoto } from "./job-deeds.js";
import { importAside } from "./job-file.js";
import { doAct, newId } from "./job-store.js";
import { read, readAll, write } from "./store.js";

export const LONGEST = 1600; // px of the longer side
export const QUALITY = 0.8; // of JPEG
const MOST_BYTES = 80 * 1024 * 1024;

/**
 * A picture as it is kept, or why there is none.
 * @param {Blob} file  as the camera or the person's choice gives it
 * @returns {Promise<{picture: Picture} | {problem: Problem}>}  problem: card_photo_…
 */
export async function prepare(file) {
  const no = (/** @type {string} */ what, fields = {}) => ({ problem: { key: `card_photo_${what}`, fields } });
  if (file.size === 0) return no("empty");
  if (file.size > MOST_BYTES) return no("large", { size: Math.ceil(file.size / 1048576), most: MOST_BYTES / 1048576 });
  if (typeof globalThis.createImageBitmap !== "function") return no("impossible");
  const bitmap = await opened(file);
  if (!bitmap) return no("unreadable");
  try {
    const picture = await drawn(bitmap);
    return picture ? { picture } : no("impossible");
  } finally {
    bitmap.close();
  }
}

/**
 * Put a picture on a card. Where the phone has no room for it nothing is changed, and everything else goes on being kept: the outcome
 * says so, and the picture is still in the caller's hand.
 * @param {string} jobId @param {Picture} picture @param {{step?: string, words?: string}} given
 * @returns {Promise<import("./job-store.js").Done & {photo: string}>}
 */
export async function addPhoto(jobId, picture, given) {
  const [id, at] = [newId(), Date.now()];
  const brings = [{ store: "photos", key: id, change: () => ({ id, job: jobId, ...picture, at }) }];
  const done = await doAct(jobId, (job) => notePhoto(job, id, given, at), { at, brings, large: picture.blob.size });
  return { ...done, photo: id };
}

/** A picture, or null where the phone has it no more. @param {string} id @returns {Promise<(Picture & {id: string, job: string, at: number}) | null>} */
export async function photo(id) {
  return (await read("photos", id)) ?? null;
}

/** Pictures that are on the phone for nothing: deleted from their card, or of a card that no undoing brings back. @returns {Promise<{ids: string[], bytes: number}>} */
export async function unusedPhotos() {
  const jobs = await readAll("jobs");
  /** @type {Map<string, any>} */
  const aside = new Map((await importAside()).map(({ key, was }) => [key, was]));
  const isUsed = (/** @type {{id: string, job: string}} */ { id, job }) => [jobs, aside].some((cards) => cards.get(job)?.photos?.[id]?.gone === 0);
  const unused = [...(await readAll("photos")).values()].filter((one) => !isUsed(one));
  return { ids: unused.map(({ id }) => id), bytes: unused.reduce((sum, { blob }) => sum + blob.size, 0) };
}

/** Free the room that they take. This cannot be undone: say so first. @param {string[]} ids @returns {Promise<import("./store.js").Outcome>} */
export function discardPhotos(ids) {
  return write(ids.map((key) => ({ store: "photos", key, change: () => undefined })));
}

/** @param {Blob} file @returns {Promise<ImageBitmap | null>} upright; null for what this browser cannot show */
async function opened(file) {
  try {
    return await createImageBitmap(file, { imageOrientation: "from-image" });
  } catch {
    return null;
  }
}

/** @param {ImageBitmap} bitmap @returns {Promise<Picture | null>} */
async function drawn(bitmap) {
  const scale = Math.min(1, LONGEST / Math.max(bitmap.width, bitmap.height));
  const [width, height] = [bitmap.width, bitmap.height].map((side) => Math.max(1, Math.round(side * scale)));
  const canvas = Object.assign(document.createElement("canvas"), { width, height });
  const context = canvas.getContext("2d");
  if (!context) return null;
  // JPEG has no see-through: what would be black is paper.
  context.fillStyle = "white";
  context.fillRect(0, 0, width, height);
  context.imageSmoothingQuality = "high";
  context.drawImage(bitmap, 0, 0, width, height);
  const blob = await new Promise((/** @type {(blob: Blob | null) => void} */ done) => canvas.toBlob(done, "image/jpeg", QUALITY));
  canvas.width = canvas.height = 0; // an iPhone counts the memory of canvases that nobody looks at any more
  return blob?.type === "image/jpeg" ? { blob, width, height, type: blob.type } : null;
}
