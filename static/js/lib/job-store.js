/**
 * Job cards on the phone. No DOM: what is read and written goes through store.js, and the pages paint.
 *
 * A deed is made inside the write, from the card as the database has it then, so that two windows lose nothing of each other; ids
 * and times are settled before it.
 *
 * @typedef {import("./job.js").Job} Job
 * @typedef {import("./job.js").Deed} Deed
 * @typedef {import("./job.js").PastField} PastField
 * @typedef {import("./store.js").Outcome} Outcome
 * @typedef {import("./store.js").Change} Change
 * @typedef {Deed | null | ((job: Job) => Deed | null)} Making
 * @typedef {Outcome & {job: Job | null, did: boolean, action: string}} Done
 *   job: as it is now; did: false when the deed made no sense on it (see job-deeds.js and `act`), nothing is changed then; action: its id, for `undo`
 * @typedef {Outcome & {job: Job | null, did: boolean, left: PastField[]}} TakenBack  left: what has been changed since and stays
 */

import { lapsing } from "./confirmed.js";
import { act, lastTouched, redo as redone, undo as undone } from "./job.js";
import { interruption, keepAnswer } from "./job-deeds.js";
import { countOpen } from "./job-ends.js";
import { read, readAll, watchOthers, write } from "./store.js";

const JOBS = "jobs";
const IN_USE = { store: "kept", key: "job" }; // holds {id}

/** @type {Map<string, Set<() => void>>} job -> who watches it in this window */
const watching = new Map();

/** An id that no other window makes. */
export function newId() {
  return `${Date.now().toString(36)}-${Math.random().toString(36).slice(2, 10).padEnd(8, "0")}`;
}

/** Cards, the one touched last first; deleted ones only when asked for. @param {{gone?: boolean}} [options] @returns {Promise<Job[]>} */
export async function allJobs({ gone = false } = {}) {
  const all = [...(await readAll(JOBS)).values()].filter((job) => Boolean(job.gone) === gone);
  return all.sort((one, other) => lastTouched(other) - lastTouched(one) || (one.id < other.id ? -1 : 1));
}

/** A card, a deleted one too (`gone`), or null. @param {string} id @returns {Promise<Job | null>} */
export async function readJob(id) {
  return (await read(JOBS, id)) ?? null;
}

/** Keep a new card and use it. @param {Job} job @returns {Promise<Outcome>} */
export async function addJob(job) {
  const outcome = await write([{ store: JOBS, key: job.id, change: (old) => old ?? job }, { ...IN_USE, change: () => ({ id: job.id }) }]);
  tell(job.id);
  return outcome;
}

/**
 * Do something to a card. `making` may be called more than once: it must be pure and hold its times and ids already.
 * @param {string} jobId
 * @param {Making} making
 * @param {{id?: string, at?: number, along?: Change[], brings?: Change[], large?: number}} [options]
 *   along: changes to come together with it, in any case; brings: only where the deed is done; large: as for `write`
 * @returns {Promise<Done>}
 */
export async function doAct(jobId, making, { id = newId(), at = Date.now(), along = [], brings = [], large = 0 } = {}) {
  let did = false;
  const done = await changeJob(jobId, (job) => {
    const deed = typeof making === "function" ? making(job) : making;
    const next = deed ? act(job, { ...deed, id, at }) : job;
    did = Object.hasOwn(next.history, id);
    return next;
  }, [...along, ...brings.map((one) => ({ ...one, change: (/** @type {any} */ old) => (did ? one.change(old) : old) }))], large);
  return { ...done, did: did && (done.kept || !large), action: id };
}

/** Take an action back. @param {string} jobId @param {string} actionId @returns {Promise<TakenBack>} */
export function undo(jobId, actionId) {
  const at = Date.now();
  return turned(jobId, (job) => undone(job, actionId, at));
}

/** Do again what was taken back. @param {string} jobId @param {string} actionId @returns {Promise<TakenBack>} */
export function redo(jobId, actionId) {
  return turned(jobId, (job) => redone(job, actionId));
}

/** Work on a card is interrupted: its begun steps are, and its confirmations lapse. @param {string} jobId @returns {Promise<Done>} */
export async function interrupt(jobId) {
  const at = Date.now();
  return doAct(jobId, (job) => interruption(job, at), { at, along: await lapsing(jobId) });
}

// -- the card in use ------------------------------------------------------------------------------------------------

/** Use a card; '' for none. @param {string} id @returns {Promise<Outcome>} */
export function useJob(id) {
  return write([{ ...IN_USE, change: () => (id ? { id } : undefined) }]);
}

/** @returns {Promise<Job | null>} */
export async function jobInUse() {
  const found = await read(IN_USE.store, IN_USE.key);
  const job = found?.id ? await readJob(found.id) : null;
  return job?.gone ? null : job;
}

/**
 * Put an answer on the card in use.
 * @param {{figure: string, title: string, query: string, answer: string, step?: string}} answer
 * @returns {Promise<Done | null>}  null: no card is in use
 */
export async function keepFigure(answer) {
  const job = await jobInUse();
  const [id, at] = [newId(), Date.now()];
  return job ? doAct(job.id, (now) => keepAnswer(now, id, answer, at), { at }) : null;
}

/** Loose ends open on all cards: for the start page. @returns {Promise<{ends: number, pieces: number, jobs: {id: string, name: string, ends: number}[]}>} */
export async function looseEnds() {
  const jobs = (await allJobs()).map((job) => ({ id: job.id, name: job.name, ...countOpen(job) })).filter(({ ends }) => ends);
  const sum = (/** @type {"ends" | "pieces"} */ what) => jobs.reduce((all, job) => all + job[what], 0);
  return { ends: sum("ends"), pieces: sum("pieces"), jobs };
}

/**
 * Be told how a card is now, after each change in this window or another, and when the person comes back to the page: a browser
 * without a channel between windows tells of nothing.
 * @param {string} id
 * @param {(job: Job | null) => void} fn
 * @returns {() => void} stop
 */
export function watchJob(id, fn) {
  const again = () => void readJob(id).then(fn);
  const onReturn = () => globalThis.document?.visibilityState !== "hidden" && again();
  const here = watching.get(id) ?? new Set();
  watching.set(id, here.add(again));
  const stop = watchOthers((places) => places.some(({ store, key }) => store === JOBS && key === id) && again());
  globalThis.document?.addEventListener("visibilitychange", onReturn);
  globalThis.addEventListener?.("pageshow", onReturn);
  return () => {
    stop();
    here.delete(again);
    globalThis.document?.removeEventListener("visibilitychange", onReturn);
    globalThis.removeEventListener?.("pageshow", onReturn);
  };
}

// -- inside ---------------------------------------------------------------------------------------------------------

/** @param {string} jobId @param {(job: Job) => {job: Job, left: PastField[]}} turn @returns {Promise<TakenBack>} */
async function turned(jobId, turn) {
  /** @type {PastField[]} */
  let left = [];
  let did = false;
  const done = await changeJob(jobId, (job) => {
    const found = turn(job);
    left = found.left;
    did = found.job !== job;
    return found.job;
  });
  return { ...done, did, left };
}

/** @param {string} jobId @param {(job: Job) => Job} change @param {Change[]} [along] @param {number} [large] @returns {Promise<Outcome & {job: Job | null}>} */
async function changeJob(jobId, change, along = [], large = 0) {
  /** @type {Job | null} */
  let now = null;
  const whole = (/** @type {Job | undefined} */ old) => {
    const next = old && change(old);
    now = next ?? null;
    return next;
  };
  const outcome = await write([{ store: JOBS, key: jobId, change: whole }, ...along], { large });
  tell(jobId);
  // What stands in memory only is worked out when it is read.
  const held = outcome.kept ? null : await readJob(jobId);
  return { ...outcome, job: outcome.kept || !large ? now : held };
}

/** @param {string} jobId */
function tell(jobId) {
  watching.get(jobId)?.forEach((again) => again());
}
