/**
 * What is loose on a card, and what holds a step back. Pure. A loose end counts until it is closed or itself deleted, whatever
 * has become of the step where it was opened.
 *
 * @typedef {import("./job.js").Job} Job
 * @typedef {import("./job.js").End} End
 * @typedef {End & {id: string, left: number}} OpenEnd  left: pieces still open
 * @typedef {{why: "sheet", sheet: string} | {why: "ends", count: number}} Block
 */

/** Open loose ends, the oldest first. @param {Job} job @returns {OpenEnd[]} */
export function openEnds(job) {
  const open = Object.entries(job.ends).filter(([, { done, gone }]) => !done && !gone);
  return open.map(([id, end]) => ({ id, ...end, left: end.count - end.closed })).sort((one, other) => one.at - other.at || (one.id < other.id ? -1 : 1));
}

/** Closed loose ends, the last one closed first. @param {Job} job @returns {OpenEnd[]} */
export function closedEnds(job) {
  const closed = Object.entries(job.ends).filter(([, { done, gone }]) => done && !gone);
  return closed.map(([id, end]) => ({ id, ...end, left: 0 })).sort((one, other) => other.done - one.done);
}

/** Loose ends that are open, and the pieces in them. @param {Job} job @returns {{ends: number, pieces: number}} */
export function countOpen(job) {
  const open = openEnds(job);
  return { ends: open.length, pieces: open.reduce((sum, { left }) => sum + left, 0) };
}

/**
 * Why a step may not be ticked; nothing when it may.
 * @param {Job} job
 * @param {string} stepId
 * @param {{needs?: {id: string}[], gate?: string} | null} text  the step in the present template, null where there is none
 * @param {Record<string, number>} confirmed  sheet -> when, those that count now
 * @returns {Block[]}
 */
export function blocks(job, stepId, text, confirmed) {
  const step = job.steps[stepId];
  const needs = new Set([...(text?.needs ?? []).map(({ id }) => id), ...(step?.needs ?? [])]);
  const missing = [...needs].filter((sheet) => !Object.hasOwn(confirmed, sheet));
  const open = text?.gate || step?.gate ? openEnds(job).length : 0;
  return [...missing.map((sheet) => ({ why: /** @type {const} */ ("sheet"), sheet })), ...(open ? [{ why: /** @type {const} */ ("ends"), count: open }] : [])];
}
