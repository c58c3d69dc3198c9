/** Brings what stands on the pages of the job card, and with it the phone's store: files apart, so that no other page waits for them. */

import { withFurtherWords } from "../lib/further-words.js";

/** @type {Record<string, () => Promise<import("../main.js").Component>>} */
const PARTS = {
  "job-card": () => import("./job-card.js"),
  "job-list": () => import("./job-list.js"),
  "job-make": () => import("./job-make.js"),
};

/** @param {HTMLElement} element @param {import("../main.js").Options} options */
export async function start(element, options) {
  const [{ start: begin }, withAll] = await Promise.all([PARTS[element.dataset.module ?? ""](), withFurtherWords(options)]);
  await begin(element, withAll);
}
