/** Brings the setup's page, and with it the phone's store: a file apart, so that no other page waits for it or falls with it. */

import { startWithFurtherWords } from "../lib/further-words.js";

/** @param {HTMLElement} element @param {import("../main.js").Options} options */
export async function start(element, options) {
  await startWithFurtherWords(import("./setup.js"), element, options);
}
