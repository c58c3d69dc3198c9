/** Brings a torque round, and with it the phone's store and the Figures' calculator: files apart, so that no other page waits for them. */

import { startWithFurtherWords } from "../lib/further-words.js";

/** @param {HTMLElement} element @param {import("../main.js").Options} options */
export async function start(element, options) {
  await startWithFurtherWords(import("./torque-round.js"), element, options);
}
