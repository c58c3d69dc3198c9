/** Brings what stands on sheets and on the page 'If it goes wrong', and with it the phone's store: files apart, so that no other page waits for them. */

import { withFurtherWords } from "../lib/further-words.js";

/** @type {Record<string, () => Promise<import("../main.js").Component>>} */
const PARTS = {
  confirm: () => import("./confirm.js"),
  "own-number": () => import("./own-number.js"),
  "own-number-form": () => import("./own-number-form.js"),
  "read-aloud": () => import("./read-aloud.js"),
};

/** @param {HTMLElement} element @param {import("../main.js").Options} options */
export async function start(element, options) {
  const [{ start: begin }, withAll] = await Promise.all([PARTS[element.dataset.module ?? ""](), withFurtherWords(options)]);
  await begin(element, withAll);
}
