/** Brings what stands on sheets and on the page 'If it goes wrong', and with it the phone's store: files apart, so that no other page waits for them. */

import { startWithFurtherWords } from "../lib/further-words.js";

/** @type {Record<string, () => Promise<import("../main.js").Component>>} */
const PARTS = {
  confirm: () => import("./confirm.js"),
  "own-number": () => import("./own-number.js"),
  "own-number-form": () => import("./own-number-form.js"),
  "read-aloud": () => import("./read-aloud.js"),
};

/** @param {HTMLElement} element @param {import("../main.js").Options} options */
export async function start(element, options) {
  await startWithFurtherWords(PARTS[element.dataset.module ?? ""](), element, options);
}
