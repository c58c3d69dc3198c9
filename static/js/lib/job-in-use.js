/**
 * Which job card is meant: the one that an address names, else the one in use. A deleted card is never meant. No DOM; of the whole card
 * this knows no more than that, so that a page which only asks for it brings nothing else.
 *
 * @typedef {import("./job.js").Job} Job
 * @typedef {{job: Job | null, lacks: "" | "missing" | "deleted"}} Meant  lacks: why the card that the address names is not it
 */

import { read, write } from "./store.js";

const JOBS = "jobs";
const IN_USE = { store: "kept", key: "job" }; // holds {id}

/** Use a card; '' for none. @param {string} id @returns {Promise<import("./store.js").Outcome>} */
export function useJob(id) {
  return write([using(id)]);
}

/** The change that makes it the card in use. @param {string} id @returns {import("./store.js").Change} */
export function using(id) {
  return { ...IN_USE, change: () => (id ? { id } : undefined) };
}

/** @returns {Promise<Job | null>} */
export async function jobInUse() {
  return (await jobMeant("")).job;
}

/** @param {string} asked  id from an address, '' for none @returns {Promise<Meant>} */
export async function jobMeant(asked) {
  const id = asked || (await read(IN_USE.store, IN_USE.key))?.id;
  const job = id ? await read(JOBS, id) : undefined;
  if (job && !job.gone) return { job, lacks: "" };
  return { job: null, lacks: !asked ? "" : job ? "deleted" : "missing" };
}
