/** What a person can do to the loose ends of a card: see job-deeds.js. Pure. */

import { setOf } from "./job-paths.js";
import { MOST_PIECES } from "./job-shape.js";

/** @typedef {import("./job.js").Job} Job */
/** @typedef {import("./job.js").Deed} Deed */

/**
 * @param {Job} job @param {string} id
 * @param {{step?: string, kind: import("./job.js").EndKind, words?: string, place?: string, count?: number, size?: string, bag?: string}} given
 * @param {number} at @returns {Deed}
 */
export function openEnd(job, id, { step = "", kind, words = "", place = "", count = 1, size = "", bag = "" }, at) {
  const to = { step, kind, words, place, count, closed: 0, size, bag, at, done: 0, gone: 0 };
  return { what: "end_open", fields: { kind, words, place }, sets: [{ path: ["ends", id], to }] };
}

/** Close some pieces of a loose end; the last one closes it. @param {Job} job @param {string} id @param {number} at @param {number} [by] @returns {Deed | null} */
export function closeEnd(job, id, at, by = 1) {
  const end = job.ends[id];
  if (!end || end.gone || end.done || by < 1) return null;
  const closed = Math.min(end.count, end.closed + by);
  const isAll = closed === end.count;
  const fields = { ...endFields(end), number: String(closed), of: String(end.count) };
  return { what: isAll ? "end_close" : "end_close_some", fields, sets: [setOf("ends", id, "closed", closed), ...(isAll ? [setOf("ends", id, "done", at)] : [])] };
}

/** Open again, all of it. @param {Job} job @param {string} id @returns {Deed | null} */
export function reopenEnd(job, id) {
  const end = job.ends[id];
  return end && (end.done || end.closed) ? { what: "end_reopen", fields: endFields(end), sets: [setOf("ends", id, "closed", 0), setOf("ends", id, "done", 0)] } : null;
}

/**
 * Another place, count, size, bag or wording. A count below what has been closed already makes no sense: null.
 * @param {Job} job @param {string} id @param {{words?: string, place?: string, count?: number, size?: string, bag?: string}} part @param {number} at @returns {Deed | null}
 */
export function changeEnd(job, id, part, at) {
  const end = job.ends[id];
  const count = part.count ?? end?.count;
  if (!end || count < Math.max(1, end.closed) || count > MOST_PIECES) return null;
  const sets = Object.entries(part).map(([name, to]) => setOf("ends", id, name, to));
  const done = end.closed === count ? end.done || at : 0;
  return { what: "end_change", fields: endFields({ ...end, ...part }), sets: [...sets, setOf("ends", id, "done", done)] };
}

// -- inside ---------------------------------------------------------------------------------------------------------

/** @param {import("./job.js").End} end */
function endFields({ kind, words, place }) {
  return { kind, words, place };
}
