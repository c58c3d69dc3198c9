/** Brings the setup's page, and with it the phone's store: a file apart, so that no other page waits for it or falls with it. */

import { withFurtherWords } from "../lib/further-words.js";

/** @param {HTMLElement} element @param {import("../main.js").Options} options */
export async function start(element, options) {
  const [{ start: begin }, withAll] = await Promise.all([import("./setup.js"), withFurtherWords(options)]);
  await begin(element, withAll);
}
