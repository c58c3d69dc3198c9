/**
 * What a person can do to a card, and to whatever is noted on it; step-deeds.js, end-deeds.js and round-deeds.js are of the same kind.
 * Pure: each function looks at the card and gives the deed for `act`, or null when it makes no
 * sense there (the step is gone, all pieces are closed, a round is not whole yet). Hand them to `doAct` as `(job) => tick(job, id,
 * at)`: they then see the card as the store has it, not as a window remembers it. Ids of new things and times come from outside.
 *
 * `what` and `fields` are for the sentence card_did_WHAT (content/words/card-history.md). Those about a loose end hold kind, words
 * and place; the page makes {end} of them.
 *
 * @typedef {import("./job.js").Job} Job
 * @typedef {import("./job.js").Deed} Deed
 * @typedef {"stages" | "steps" | "ends" | "entries" | "rounds" | "kept" | "photos"} MapName
 */

import { allSteps, stepsOf } from "./job-list.js";
import { setOf } from "./job-paths.js";

// -- the card -------------------------------------------------------------------------------------------------------

/** @param {Job} job @param {string} name @returns {Deed} */
export function rename(job, name) {
  return { what: "rename", fields: { name }, sets: [{ path: ["name"], to: name }] };
}

/** Put the card away; `restoreCard` brings it back. @param {Job} job @param {number} at @returns {Deed | null} */
export function removeCard(job, at) {
  return job.gone ? null : { what: "remove_card", fields: { name: job.name }, sets: [{ path: ["gone"], to: at }] };
}

/** @param {Job} job @returns {Deed | null} */
export function restoreCard(job) {
  return job.gone ? { what: "restore_card", fields: { name: job.name }, sets: [{ path: ["gone"], to: 0 }] } : null;
}

/**
 * Work is interrupted: so is each step that has been begun and not done. `interrupt` of job-store.js lapses the confirmations too.
 * Taken back, the confirmations stay lapsed.
 * @param {Job} job @param {number} at @returns {Deed | null}
 */
export function interruption(job, at) {
  if (job.interrupted) return null;
  const begun = allSteps(job).filter(({ began, done }) => began && !done);
  const sets = begun.map(({ id }) => ({ path: ["steps", id, "interrupted"], to: at }));
  return { what: "interrupt", fields: {}, sets: [{ path: ["interrupted"], to: at }, ...sets] };
}

/** @param {Job} job @returns {Deed | null} */
export function resume(job) {
  if (!job.interrupted) return null;
  const sets = allSteps(job).filter(({ interrupted }) => interrupted).map(({ id }) => ({ path: ["steps", id, "interrupted"], to: 0 }));
  return { what: "resume", fields: {}, sets: [{ path: ["interrupted"], to: 0 }, ...sets] };
}

// -- what is noted --------------------------------------------------------------------------------------------------

/**
 * A reading, a value from the manual or a part number.
 * @param {Job} job @param {string} id
 * @param {{step?: string, sort: "reading" | "manual" | "part", label: string, value: string, unit?: string, page?: string}} given  value, unit: as typed
 * @param {number} at @returns {Deed}
 */
export function addEntry(job, id, { step = "", sort, label, value, unit = "", page = "" }, at) {
  return { what: "entry_add", fields: { label, value, unit }, sets: [{ path: ["entries", id], to: { step, sort, label, value, unit, page, at, gone: 0 } }] };
}

/** @param {Job} job @param {string} id @param {{label?: string, value?: string, unit?: string, page?: string}} part @param {string} [joins] @returns {Deed | null} */
export function changeEntry(job, id, part, joins) {
  const entry = job.entries[id];
  if (!entry) return null;
  const { label, value, unit } = { ...entry, ...part };
  return { what: "entry_change", fields: { label, value, unit }, sets: Object.entries(part).map(([name, to]) => setOf("entries", id, name, to)), joins };
}

/** A prompt of a step has been looked at: tick it off. `remove` takes the tick out. @param {Job} job @param {string} id @param {{step: string, label: string}} given @param {number} at @returns {Deed | null} */
export function lookAt(job, id, { step, label }, at) {
  const isDone = Object.values(job.entries).some((one) => one.sort === "check" && !one.gone && one.step === step && one.label === label);
  return isDone ? null : { what: "look", fields: { label }, sets: [{ path: ["entries", id], to: { step, sort: "check", label, value: "", unit: "", page: "", at, gone: 0 } }] };
}

/** An answer of a Figure, with the query that brings it back. @param {Job} job @param {string} id @param {{step?: string, figure: string, title: string, query: string, answer: string}} given @param {number} at @returns {Deed} */
export function keepAnswer(job, id, { step = "", figure, title, query, answer }, at) {
  return { what: "keep", fields: { title, answer }, sets: [{ path: ["kept", id], to: { step, figure, title, query, answer, at, gone: 0 } }] };
}

/** `addPhoto` of photos.js brings the picture along. @param {Job} job @param {string} id @param {{step?: string, words?: string}} given @param {number} at @returns {Deed} */
export function notePhoto(job, id, { step = "", words = "" }, at) {
  return { what: "photo_add", fields: { words }, sets: [{ path: ["photos", id], to: { step, words, at, gone: 0 } }] };
}

/** @param {Job} job @param {string} id @param {string} words @param {string} [joins] @returns {Deed | null} */
export function describePhoto(job, id, words, joins) {
  return job.photos[id] ? { what: "photo_words", fields: { words }, sets: [setOf("photos", id, "words", words)], joins } : null;
}

// -- deleting -------------------------------------------------------------------------------------------------------

/** Delete a thing; a stage goes with its steps. What hangs on a step stays on the card, its loose ends open. @param {Job} job @param {MapName} name @param {string} id @param {number} at @returns {Deed | null} */
export function remove(job, name, id, at) {
  const thing = job[name][id];
  if (!thing || thing.gone) return null;
  const steps = name === "stages" ? stepsOf(job, id).map((step) => setOf("steps", step.id, "gone", at)) : [];
  return { what: "remove", fields: { thing: titleOf(job, name, id) }, sets: [setOf(name, id, "gone", at), ...steps] };
}

/** @param {Job} job @param {MapName} name @param {string} id @returns {Deed | null} */
export function restore(job, name, id) {
  const thing = job[name][id];
  return thing?.gone ? { what: "restore", fields: { thing: titleOf(job, name, id) }, sets: [setOf(name, id, "gone", 0)] } : null;
}

// -- inside ---------------------------------------------------------------------------------------------------------

/** What a person calls a thing, '' for what has no words of its own. @param {Job} job @param {MapName} name @param {string} id */
function titleOf(job, name, id) {
  const { title, label, words, place } = /** @type {Record<string, string>} */ (/** @type {unknown} */ (job[name][id]));
  return title ?? label ?? (words || place || "");
}
