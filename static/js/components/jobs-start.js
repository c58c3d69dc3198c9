/** Brings what stands on the pages of the job card, and with it the phone's store: files apart, so that no other page waits for them. */

import { startWithFurtherWords } from "../lib/further-words.js";

/** @type {Record<string, () => Promise<import("../main.js").Component>>} */
const PARTS = {
  "job-card": () => import("./job-card.js"),
  "job-list": () => import("./job-list.js"),
  "job-make": () => import("./job-make.js"),
};

/** @param {HTMLElement} element @param {import("../main.js").Options} options */
export async function start(element, options) {
  await startWithFurtherWords(PARTS[element.dataset.module ?? ""](), element, options);
}
