/** Which job card is meant, where none is in use: one tap on a card of this phone, or on a new one. */

import { newJob } from "../lib/job.js";
import { useJob } from "../lib/job-in-use.js";
import { addJob, allJobs, newId, readJob } from "../lib/job-store.js";
import { fill } from "./figure-paint.js";
import { made, button } from "./made.js";

/** @typedef {import("../lib/job.js").Job} Job */

const MOST = 5; // cards offered, the one touched last first

/**
 * @param {Record<string, string>} words
 * @param {(job: Job) => void} chosen  the card is then the one in use
 * @returns {Promise<HTMLElement>}
 */
export async function cardChoice(words, chosen) {
  const cards = (await allJobs()).slice(0, MOST);
  const use = async (/** @type {Job} */ job) => {
    await useJob(job.id);
    chosen(job);
  };
  const buttons = cards.map((job) => button(fill(words.keep_use_card, { name: nameOf(job, words) }), () => void use(job)));
  const fresh = button(fill(words.keep_make_card, { name: words.keep_new_card }), () => void newCard(words).then(chosen));
  return made("div", { class: "card-choice" }, made("p", {}, cards.length ? words.keep_which_card : words.keep_no_card), ...buttons, fresh);
}

/** @param {Job} job @param {Record<string, string>} words */
export function nameOf(job, words) {
  return job.name.trim() || words.keep_unnamed_card;
}

/** @param {Record<string, string>} words @returns {Promise<Job>} */
async function newCard(words) {
  const job = newJob({ id: newId(), at: Date.now(), name: words.keep_new_card });
  await addJob(job);
  return (await readJob(job.id)) ?? job;
}
