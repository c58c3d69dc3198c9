/** Brings a torque round, and with it the phone's store and the Figures' calculator: files apart, so that no other page waits for them. */

import { withFurtherWords } from "../lib/further-words.js";

/** @param {HTMLElement} element @param {import("../main.js").Options} options */
export async function start(element, options) {
  const [{ start: begin }, withAll] = await Promise.all([import("./torque-round.js"), withFurtherWords(options)]);
  await begin(element, withAll);
}
