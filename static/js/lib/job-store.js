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
 * @typedef {import("./job-ends.js").Block} Block
 * @typedef {import("./job-ends.js").Known} Known
 * @typedef {Known["texts"]} Texts  steps of the present template: their sheets count beside those on the card
 * @typedef {Outcome & {job: Job | null, did: boolean, action: string, blocks: Block[]}} Done
 *   job: as it is now; did: false when the deed made no sense on it (see job-deeds.js and `act`), nothing is changed then; action: its id,
 *   for `undo`; blocks: what holds a step back that it would tick
 * @typedef {Outcome & {job: Job | null, did: boolean, left: PastField[], blocks: Block[]}} TakenBack  left: what has been changed since and stays
 * @typedef {(job: Job, known: Known) => {job: Job, blocks: Block[]}} Turn
 */

import { lapsing, looking } from "./confirmed.js";
import { attempt } from "./job.js";
import { lastTouched, redo as redone, undo as undone } from "./job-history.js";
import { interruption, keepAnswer } from "./job-deeds.js";
import { countOpen, NOTHING_KNOWN } from "./job-ends.js";
import { jobInUse, using } from "./job-in-use.js";
import { read, readAll, watchOthers, write } from "./store.js";

const JOBS = "jobs";

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
  const outcome = await write([{ store: JOBS, key: job.id, change: (old) => old ?? job }, using(job.id)]);
  tell(job.id);
  return outcome;
}

/**
 * Do something to a card. `making` may be called more than once: it must be pure and hold its times and ids already.
 * @param {string} jobId
 * @param {Making} making
 * @param {{id?: string, at?: number, along?: Change[], brings?: Change[], large?: number, texts?: Texts}} [options]
 *   along: changes to come together with it, in any case; brings: only where the deed is done; large: as for `write`; texts: without
 *   them no step is ticked that needs a sheet
 * @returns {Promise<Done>}
 */
export async function doAct(jobId, making, { id = newId(), at = Date.now(), along = [], brings = [], large = 0, texts } = {}) {
  let did = false;
  const acted = (/** @type {Job} */ job, /** @type {Known} */ known) => {
    const deed = typeof making === "function" ? making(job) : making;
    const next = deed ? attempt(job, { ...deed, id, at }, known) : { job, blocks: [] };
    did = Object.hasOwn(next.job.history, id);
    return next;
  };
  const whereDone = brings.map((one) => ({ ...one, change: (/** @type {any} */ old) => (did ? one.change(old) : old) }));
  const done = await changeJob(jobId, acted, { at, texts, along: [...along, ...whereDone], large });
  return { ...done, did: did && (done.kept || !large), action: id };
}

/** Take an action back. @param {string} jobId @param {string} actionId @param {Texts} [texts]  as for `doAct` @returns {Promise<TakenBack>} */
export function undo(jobId, actionId, texts) {
  const at = Date.now();
  return turned(jobId, (job, known) => undone(job, actionId, at, known), at, texts);
}

/** Do again what was taken back. @param {string} jobId @param {string} actionId @param {Texts} [texts]  as for `doAct` @returns {Promise<TakenBack>} */
export function redo(jobId, actionId, texts) {
  return turned(jobId, (job, known) => redone(job, actionId, known), Date.now(), texts);
}

/** Work on a card is interrupted: its begun steps are, and its confirmations lapse. @param {string} jobId @returns {Promise<Done>} */
export async function interrupt(jobId) {
  const at = Date.now();
  return doAct(jobId, (job) => interruption(job, at), { at, along: await lapsing(jobId) });
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

/** @param {string} jobId @param {(job: Job, known: Known) => import("./job.js").Turned} turn @param {number} at @param {Texts} [texts] @returns {Promise<TakenBack>} */
async function turned(jobId, turn, at, texts) {
  /** @type {PastField[]} */
  let left = [];
  let did = false;
  const done = await changeJob(jobId, (job, known) => {
    const found = turn(job, known);
    left = found.left;
    did = found.job !== job;
    return found;
  }, { at, texts });
  return { ...done, did, left };
}

/**
 * @param {string} jobId @param {Turn} change @param {{at: number, texts?: Texts, along?: Change[], large?: number}} options
 * @returns {Promise<Outcome & {job: Job | null, blocks: Block[]}>}
 */
async function changeJob(jobId, change, { at, texts, along = [], large = 0 }) {
  const { looks, known } = await lookedAt(jobId, change, at, texts);
  /** @type {Job | null} */
  let now = null;
  /** @type {Block[]} */
  let blocks = [];
  const whole = (/** @type {Job | undefined} */ old) => {
    const next = old && change(old, known());
    now = next?.job ?? null;
    blocks = next?.blocks ?? [];
    return next?.job;
  };
  const outcome = await write([...looks, { store: JOBS, key: jobId, change: whole }, ...along], { large });
  tell(jobId);
  // What stands in memory only is worked out when it is read.
  const held = outcome.kept ? null : await readJob(jobId);
  return { ...outcome, job: outcome.kept || !large ? now : held, blocks };
}

/**
 * What a change has to look at inside the write: the sheets that would hold it back if none were confirmed. One that another window
 * adds to the step at this very moment is not looked at and counts as not confirmed.
 * @param {string} jobId @param {Turn} change @param {number} at @param {Texts | undefined} texts
 * @returns {Promise<{looks: Change[], known: () => Known}>}
 */
async function lookedAt(jobId, change, at, texts) {
  const job = texts ? await readJob(jobId) : null;
  if (!job || !texts) return { looks: [], known: () => NOTHING_KNOWN };
  const needed = change(job, { ...NOTHING_KNOWN, texts }).blocks.flatMap((block) => (block.why === "sheet" ? [block.sheet] : []));
  const { changes, inForce } = await looking(jobId, [...new Set(needed)]);
  return { looks: changes, known: () => ({ confirmed: inForce(at), texts }) };
}

/** @param {string} jobId */
function tell(jobId) {
  watching.get(jobId)?.forEach((again) => again());
}
