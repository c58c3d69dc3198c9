/**
 * What was done to a card, taken back and done again. Pure. An action notes what stood where it set something, so that this can be put
 * back; a field that has been changed since stays as it is.
 *
 * @typedef {import("./job.js").Job} Job
 * @typedef {import("./job.js").Past} Past
 * @typedef {import("./job.js").PastField} PastField
 * @typedef {import("./job-ends.js").Known} Known
 * @typedef {import("./job.js").Turned} Turned
 */

import { heldBack, NOTHING_KNOWN } from "./job-ends.js";
import { same, valueAt, withValue } from "./job-paths.js";
import { HISTORY } from "./job-shape.js";

/**
 * Take an action back: each field that still stands as the action set it gets what stood there before.
 * @param {Job} job
 * @param {string} actionId
 * @param {number} at
 * @param {Known} [known]  without it no sheet counts as confirmed
 * @returns {Turned}
 */
export function undo(job, actionId, at, known = NOTHING_KNOWN) {
  const past = pastOf(job, actionId);
  if (!past || past.undone) return { job, left: [], blocks: [] };
  const turned = [...past.sets].reverse().map((one) => ({ path: one.path, is: one.to, to: takenBack(one, at), past: one }));
  return turn(job, actionId, { ...past, undone: at }, turned, known);
}

/** Do again what was taken back; as `undo`. @param {Job} job @param {string} actionId @param {Known} [known] @returns {Turned} */
export function redo(job, actionId, known = NOTHING_KNOWN) {
  const past = pastOf(job, actionId);
  if (!past?.undone) return { job, left: [], blocks: [] };
  const turned = past.sets.map((one) => ({ path: one.path, is: takenBack(one, past.undone), to: one.to, past: one }));
  return turn(job, actionId, { ...past, undone: 0 }, turned, known);
}

/** Actions, the last one first. @param {Job} job @returns {({id: string} & Past)[]} */
export function pastActions(job) {
  return Object.entries(job.history).map(([id, past]) => ({ id, ...past })).reverse();
}

/** The last action that has not been taken back. @param {Job} job */
export function lastAction(job) {
  return pastActions(job).find(({ undone }) => !undone) ?? null;
}

/** Where something was done last on a card, ms. @param {Job} job @returns {number} */
export function lastTouched(job) {
  return Math.max(job.made, ...Object.values(job.history).map(({ at, undone }) => Math.max(at, undone)));
}

/** What a field was and is. @param {string[]} path @param {any} from @param {any} to @returns {PastField} */
export function pastField(path, from, to) {
  return { path, ...(from === undefined ? {} : { from }), ...(to === undefined ? {} : { to }) };
}

/** A card's history with one action more. @param {Job["history"]} history @param {import("./job.js").Action} action @param {PastField[]} sets */
export function historyWith(history, { id, at, what, fields, joins }, sets) {
  const before = joins !== undefined && Object.hasOwn(history, joins) ? history[joins] : null;
  const [[first], [now]] = [before?.sets ?? [], sets];
  const isOne = before && !before.undone && before.sets.length === 1 && sets.length === 1 && same(first.path, now.path) && same(first.to, now.from);
  // A thing that was new in the joined action and has had its field changed since is another path: it stays an action of its own.
  const kept = isOne ? [pastField(now.path, first.from, now.to)] : sets;
  const entries = Object.entries(history).filter(([key]) => !isOne || key !== joins);
  return Object.fromEntries([...entries, [id, { at, what, fields, sets: kept, undone: 0 }]].slice(-HISTORY));
}

// -- inside ---------------------------------------------------------------------------------------------------------

/** @param {Job} job @param {string} actionId @returns {Past | null} */
function pastOf(job, actionId) {
  return Object.hasOwn(job.history, actionId) ? job.history[actionId] : null;
}

/** What stands in a field whose setting was taken back: a thing that was new is kept, as a deleted one. @param {PastField} past @param {number} at */
function takenBack({ path, from, to }, at) {
  return path.length === 2 && from === undefined ? { ...to, gone: at } : from;
}

/** @param {Job} job @param {string} actionId @param {Past} past @param {{path: string[], is: any, to: any, past: PastField}[]} turned @param {Known} known @returns {Turned} */
function turn(job, actionId, past, turned, known) {
  /** @type {PastField[]} */
  const left = [];
  let next = job;
  for (const one of turned) {
    if (same(valueAt(next, one.path), one.is)) next = withValue(next, one.path, one.to);
    else left.push(one.past);
  }
  const blocks = heldBack(job, next, known);
  if (left.length === turned.length || blocks.length) return { job, left: past.sets, blocks };
  return { job: { ...next, history: { ...job.history, [actionId]: past } }, left, blocks };
}
