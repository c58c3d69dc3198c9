/**
 * Caution sheets that somebody has confirmed for a piece of work. No DOM.
 * Kept one by one under `JOB/SHEET`, JOB being the id of a job card or '' for work without one. Times are ms since 1970.
 */

import { read, readAll, write } from "./store.js";

/** @typedef {import("./store.js").Outcome} Outcome */

const STORE = "confirmed";

/** So long a confirmation counts: a night's sleep, and the sheet is read again. */
export const CONFIRMED_MS = 12 * 60 * 60 * 1000;

/** Whether a confirmation given `at` counts `now`. One from the future does not: the phone's clock has been put back. @param {number} at @param {number} now */
export function isInForce(at, now) {
  return at <= now && now < at + CONFIRMED_MS;
}

/** @param {string} job @param {string} sheet @param {number} [at] @returns {Promise<Outcome>} */
export function confirm(job, sheet, at = Date.now()) {
  return write([{ store: STORE, key: keyOf(job, sheet), change: () => ({ at }) }]);
}

/** Sheet → when it was confirmed for the job, those alone that count `now`. @param {string} job @param {number} [now] @returns {Promise<Record<string, number>>} */
export async function confirmed(job, now = Date.now()) {
  const all = await ofJob(job);
  return Object.fromEntries([...all].filter(([, at]) => isInForce(at, now)));
}

/** One confirmation is taken back. @param {string} job @param {string} sheet @returns {Promise<Outcome>} */
export function takeBack(job, sheet) {
  return write([{ store: STORE, key: keyOf(job, sheet), change: () => undefined }]);
}

/** When the sheet was last confirmed for the job, in force or not; 0: never, or taken back. @param {string} job @param {string} sheet @returns {Promise<number>} */
export async function lastConfirmed(job, sheet) {
  return (await read(STORE, keyOf(job, sheet)))?.at ?? 0;
}

/** Work is interrupted: every confirmation of the job goes. @param {string} job @returns {Promise<Outcome>} */
export async function lapse(job) {
  const changes = await lapsing(job);
  // A transaction over nothing is a fault to the browser.
  return changes.length ? write(changes) : { kept: true, why: "fine" };
}

/** What lets every confirmation of the job lapse; one that another window gives meanwhile stays. @param {string} job @returns {Promise<import("./store.js").Change[]>} */
export async function lapsing(job) {
  return [...(await ofJob(job))].map(([sheet, given]) => {
    const change = (/** @type {{at: number} | undefined} */ old) => (old?.at === given ? undefined : old);
    return { store: STORE, key: keyOf(job, sheet), change };
  });
}

/**
 * Looks at sheets inside a write, so that it is settled by what stands there at that moment, whatever another window has done since
 * the page was painted. `changes` change nothing; they stand in front of the write's own. Where the write runs in memory only, what
 * was read beforehand counts: no other window can see that memory.
 * @param {string} job
 * @param {string[]} sheets
 * @returns {Promise<{changes: import("./store.js").Change[], inForce: (now: number) => Record<string, number>}>}  inForce: those of the sheets that count
 */
export async function looking(job, sheets) {
  const seen = sheets.length ? await ofJob(job) : new Map();
  const look = (/** @type {string} */ sheet) => (/** @type {{at: number} | undefined} */ old) => {
    if (old) seen.set(sheet, old.at);
    else seen.delete(sheet);
    return old;
  };
  const inForce = (/** @type {number} */ now) => Object.fromEntries([...seen].filter(([sheet, at]) => sheets.includes(sheet) && isInForce(at, now)));
  return { changes: sheets.map((sheet) => ({ store: STORE, key: keyOf(job, sheet), change: look(sheet) })), inForce };
}

/** @param {string} job @returns {Promise<Map<string, number>>} sheet → when, in force or not */
async function ofJob(job) {
  const start = keyOf(job, "");
  const all = await readAll(STORE);
  return new Map([...all].filter(([key]) => key.startsWith(start)).map(([key, { at }]) => [key.slice(start.length), at]));
}

/** @param {string} job @param {string} sheet */
function keyOf(job, sheet) {
  return `${job}/${sheet}`;
}
