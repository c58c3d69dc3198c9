/**
 * What is loose on a card, and what holds a step back. Pure. A loose end counts until it is closed or itself deleted, whatever
 * has become of the step where it was opened.
 *
 * @typedef {import("./job.js").Job} Job
 * @typedef {import("./job.js").End} End
 * @typedef {End & {id: string, left: number}} OpenEnd  left: pieces still open
 * @typedef {{why: "sheet", sheet: string} | {why: "ends", count: number}} Block
 * @typedef {{needs?: {id: string}[], gate?: string}} StepText  a step of the present template
 * @typedef {{confirmed: Record<string, number>, texts: ReadonlyMap<string, StepText>}} Known  what may hold a step back beside the card itself
 *   confirmed: sheet -> when, those that count now; texts: steps of the present template by their ids
 */

/** Whoever knows of no confirmation ticks nothing that needs one. @type {Known} */
export const NOTHING_KNOWN = { confirmed: {}, texts: new Map() };

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

/** Sheets that a step needs: those on the card and the present template's. @param {import("./job.js").Step | undefined} step @param {StepText | null} text @returns {string[]} */
export function sheetsOf(step, text) {
  return [...new Set([...(text?.needs ?? []).map(({ id }) => id), ...(step?.needs ?? [])])];
}

/**
 * Why a step may not be ticked; nothing when it may.
 * @param {Job} job
 * @param {string} stepId
 * @param {StepText | null} text  the step in the present template, null where there is none
 * @param {Record<string, number>} confirmed  sheet -> when, those that count now
 * @returns {Block[]}
 */
export function blocks(job, stepId, text, confirmed) {
  const step = job.steps[stepId];
  const missing = sheetsOf(step, text).filter((sheet) => !Object.hasOwn(confirmed, sheet));
  const open = text?.gate || step?.gate ? openEnds(job).length : 0;
  return [...missing.map((sheet) => ({ why: /** @type {const} */ ("sheet"), sheet })), ...(open ? [{ why: /** @type {const} */ ("ends"), count: open }] : [])];
}

/** Why the steps that one card has done and an earlier one has not may not be ticked. @param {Job} before @param {Job} after @param {Known} known @returns {Block[]} */
export function heldBack(before, after, { confirmed, texts }) {
  const ticked = Object.entries(after.steps).filter(([id, { done }]) => done && !before.steps[id]?.done);
  return ticked.flatMap(([id, { from }]) => blocks(after, id, texts.get(from) ?? null, confirmed));
}
