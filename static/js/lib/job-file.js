/**
 * Cards out of the phone and back: one file of JSON with the pictures in it (file-shape.js says what it is made of).
 *
 * Out: `makeFile` beforehand, so that the file is ready when the person taps. In: `readFile` looks at all of it and changes nothing;
 * `planned` says what would become of each card; `doImport` makes that one write, with what stood there before put aside, and
 * `undoImport` puts it back. Confirmed cautions do not travel: they are asked for again.
 *
 * @typedef {import("./file-shape.js").CardFile} CardFile
 * @typedef {import("./json-text.js").Problem} Problem
 * @typedef {import("./job.js").Job} Job
 * @typedef {import("./setup.js").Setup} Setup
 * @typedef {import("./store.js").Outcome} Outcome
 * @typedef {{ok: true, data: CardFile, pictures: Map<string, Uint8Array>}} Read
 * @typedef {"merge" | "replace"} Way
 *   merge: what is in the file is added, or replaces what has the same id; replace: the file's cards and set-ups are all there is then
 * @typedef {"added" | "replaced" | "same" | "stays" | "removed"} Becomes  its sentence is card_file_becomes_…
 * @typedef {{id: string, name: string, becomes: Becomes, isOlder: boolean}} Fate
 *   isOlder: the one in the file was touched last before the one that it would replace
 * @typedef {{store: string, key: string, was: any, value: any}} Put  undefined: nothing
 * @typedef {{at: number, puts: Put[]}} Aside  what an import has put aside: when, and what stood there before
 * @typedef {{jobs: Fate[], setups: Fate[], emergency: Becomes, photos: number, lacking: number, puts: Put[]}} Plan
 *   photos: pictures that come to the phone; lacking: those that a card of the file speaks of and the file has not
 */

import { base64Of, check, FORMAT, KEPT, MOST_BYTES, PHOTO, SCHEMA, SETUP } from "./file-shape.js";
import { lastTouched } from "./job-history.js";
import { same } from "./job-paths.js";
import { JOB, picked } from "./job-shape.js";
import { readAll, read as readOne, write } from "./store.js";

const ASIDE = { store: "kept", key: "before-import" }; // holds {at, puts}
const FACTS = ["job", "setup", "emergency"];

// -- out ------------------------------------------------------------------------------------------------------------

/**
 * The file of some cards, or of everything.
 * @param {string[] | null} ids  null: all cards, deleted ones too, the set-ups and the small facts
 * @param {number} made
 * @returns {Promise<{blob: Blob, name: string, isTooLarge: boolean, lacking: number}>}
 *   isTooLarge: no phone would read it back, so offer it card by card; lacking: pictures that are not on the phone any more
 */
export async function makeFile(ids, made) {
  const all = [...(await readAll("jobs")).values()];
  const jobs = all.filter(({ id }) => !ids || ids.includes(id)).map((job) => picked(JOB, job));
  const setups = ids ? [] : [...(await readAll("setups")).values()].map((setup) => picked(SETUP, setup));
  const kept = ids ? {} : keptFacts(await readAll("kept"), jobs, setups);
  const stored = await readAll("photos");
  const wanted = jobs.flatMap((job) => Object.entries(job.photos).map(([id, { gone }]) => ({ id, job: job.id, gone })));
  const photos = wanted.filter(({ id }) => stored.has(id));
  const parts = [`${JSON.stringify({ format: FORMAT, schema: SCHEMA, made, jobs, setups, kept }, null, 1).slice(0, -2)},\n "photos": [`];
  for (const [n, { id, job }] of photos.entries()) parts.push(`${n ? "," : ""}\n  ${JSON.stringify(await filed({ ...stored.get(id), job }))}`);
  const blob = new Blob([...parts, "\n ]\n}\n"], { type: "application/json" });
  const lacking = wanted.filter(({ id, gone }) => !gone && !stored.has(id)).length;
  return { blob, name: `${FORMAT}-${new Date(made).toISOString().slice(0, 10)}.json`, isTooLarge: blob.size > MOST_BYTES, lacking };
}

/** @param {Map<string, any>} facts @param {Job[]} jobs @param {Setup[]} setups */
function keptFacts(facts, jobs, setups) {
  const { job, setup, emergency } = picked(KEPT, Object.fromEntries(facts));
  return {
    ...(jobs.some(({ id }) => id === job?.id) ? { job } : {}),
    ...(setups.some(({ id }) => id === setup) ? { setup } : {}),
    ...(typeof emergency?.number === "string" ? { emergency } : {}),
  };
}

/** A picture as the file has it. @param {{blob: Blob}} photo */
async function filed({ blob, ...rest }) {
  return picked(PHOTO, { ...rest, data: base64Of(new Uint8Array(await blob.arrayBuffer())) });
}

// -- in -------------------------------------------------------------------------------------------------------------

/** Read and look at a file; nothing is kept or changed. @param {Blob} file @returns {Promise<Read | {ok: false, problems: Problem[]}>} */
export async function readFile(file) {
  const no = (/** @type {string} */ key, fields = {}) => ({ ok: /** @type {const} */ (false), problems: [{ key, fields }] });
  if (file.size > MOST_BYTES) return no("card_file_large", { size: Math.ceil(file.size / 1048576), most: MOST_BYTES / 1048576 });
  try {
    return check(new TextDecoder("utf-8", { fatal: true }).decode(await file.arrayBuffer()));
  } catch (error) {
    // TypeError: bytes that are no UTF-8; NotReadableError, NotFoundError: the file was moved, or is not on this phone.
    return no(error instanceof TypeError ? "card_file_encoding" : "card_file_unreadable");
  }
}

/** What would become of everything. @param {Read} read @param {Way} way @returns {Promise<Plan>} */
export async function planned(read, way) {
  const [jobs, setups, kept, photos] = await Promise.all(["jobs", "setups", "kept", "photos"].map((store) => readAll(store)));
  return plan(read, { jobs, setups, kept, photos: await alike(photos, read) }, way);
}

/**
 * @param {Read} read
 * @param {{jobs: Map<string, Job>, setups: Map<string, Setup>, kept: Map<string, any>, photos: Map<string, {isSame: boolean, was: any}>}} present
 * @param {Way} way
 * @returns {Plan}
 */
export function plan({ data, pictures }, present, way) {
  const jobs = fates("jobs", data.jobs, present.jobs, way);
  const setups = fates("setups", data.setups, present.setups, way);
  const photos = data.photos.filter(({ id }) => !present.photos.get(id)?.isSame).map((photo) => photoPut(photo, pictures, present));
  const gone = jobs.filter(({ fate }) => fate.becomes === "removed").map(({ fate }) => fate.id);
  const facts = FACTS.map((key) => factPut(key, data.kept, present.kept, way, gone)).filter(({ was, value }) => !same(was, value));
  const spoken = data.jobs.flatMap((job) => Object.entries(job.photos).filter(([, { gone: isGone }]) => !isGone).map(([id]) => id));
  const changed = [...jobs, ...setups].filter(({ fate }) => fate.becomes !== "same" && fate.becomes !== "stays");
  const emergency = facts.find(({ key }) => key === "emergency");
  return {
    jobs: jobs.map(({ fate }) => fate),
    setups: setups.map(({ fate }) => fate),
    emergency: emergency ? (emergency.was ? "replaced" : "added") : data.kept.emergency && same(data.kept.emergency, present.kept.get("emergency")) ? "same" : "stays",
    photos: photos.length,
    lacking: spoken.filter((id) => !pictures.has(id) && !present.photos.has(id)).length,
    puts: [...changed.map(({ put }) => put), ...facts, ...photos],
  };
}

/**
 * Make a plan true, all of it or nothing.
 * @param {Plan} plan
 * @param {number} at
 * @returns {Promise<Outcome & {isStale: boolean}>}  isStale: a card has been changed since the plan was made; make a new one
 */
export async function doImport({ puts }, at) {
  const aside = { at, puts: puts.map((put) => (put.store === "photos" ? { ...put, value: undefined } : put)) };
  const lapsing = await confirmations(puts.filter(({ store }) => store === "jobs").map(({ key }) => key));
  const changes = puts.map(({ store, key, was, value }) => ({ store, key, change: (/** @type {any} */ old) => fresh(store, old, was, value) }));
  return all([...changes, ...lapsing, { ...ASIDE, change: () => aside }], sizeOf(puts));
}

/** What the last import has put aside. @returns {Promise<Put[]>} */
export async function importAside() {
  return (await readOne(ASIDE.store, ASIDE.key))?.puts ?? [];
}

/** When something was brought in that can still be taken out again, or 0. @returns {Promise<number>} */
export async function importedAt() {
  return (await readOne(ASIDE.store, ASIDE.key))?.at ?? 0;
}

/**
 * Put back what stood there before the last import.
 * @returns {Promise<Outcome & {isStale: boolean}>}  isStale: a card that came with it has been worked on since: nothing is put back,
 *   so that nothing is lost
 */
export async function undoImport() {
  const aside = await readOne(ASIDE.store, ASIDE.key);
  if (!aside) return { kept: false, why: "fine", isStale: true };
  // Which card is in use may have been chosen anew: that is no work that could be lost, and stays.
  const back = (/** @type {Put} */ { store, was, value }, /** @type {any} */ old) => (store === "kept" && !same(old, value) ? old : fresh(store, old, value, was));
  const changes = aside.puts.map((/** @type {Put} */ put) => ({ store: put.store, key: put.key, change: (/** @type {any} */ old) => back(put, old) }));
  return all([...changes, { ...ASIDE, change: () => undefined }], sizeOf(aside.puts));
}

/** Forget what stood there before the last import. @returns {Promise<Outcome & {aside: Aside | null}>}  aside: for `keepAside` */
export async function forgetImport() {
  const aside = (await readOne(ASIDE.store, ASIDE.key)) ?? null;
  return { ...(await write([{ ...ASIDE, change: () => undefined }])), aside };
}

/** Forgotten after all not, unless another import has put something aside meanwhile. @param {Aside} aside @returns {Promise<Outcome>} */
export function keepAside(aside) {
  return write([{ ...ASIDE, change: (old) => old ?? aside }], { large: sizeOf(aside.puts) });
}

/** Bytes that are put aside, about. */
export async function asideSize() {
  return sizeOf((await importAside()).map((put) => ({ ...put, value: undefined })));
}

// -- inside ---------------------------------------------------------------------------------------------------------

/** What stands there now is what was thought; pictures, which never change, are not compared. @param {string} store @param {any} old @param {any} was @param {any} value */
function fresh(store, old, was, value) {
  if (store !== "photos" && !same(old, was)) throw new TypeError("changed since");
  return value;
}

/** Bytes that a plan takes at most, about: what comes, and what is put aside. @param {Put[]} puts */
function sizeOf(puts) {
  const sizes = puts.map(({ value, was }) => (value?.blob?.size ?? 0) + (was?.blob?.size ?? 0) + 3 * JSON.stringify([value, was]).length);
  return sizes.reduce((sum, size) => sum + size, 1);
}

/** @param {import("./store.js").Change[]} changes @param {number} large @returns {Promise<Outcome & {isStale: boolean}>} */
async function all(changes, large) {
  try {
    return { ...(await write(changes, { large })), isStale: false };
  } catch (error) {
    if (error instanceof TypeError) return { kept: false, why: "fine", isStale: true };
    throw error;
  }
}

/**
 * @template {Job | Setup} T
 * @param {"jobs" | "setups"} store @param {T[]} theirs @param {Map<string, T>} ours @param {Way} way
 * @returns {{fate: Fate, put: Put}[]}
 */
function fates(store, theirs, ours, way) {
  const come = theirs.map((value) => {
    const was = ours.get(value.id);
    const isOlder = was !== undefined && "history" in was && "history" in value && lastTouched(value) < lastTouched(was);
    const becomes = /** @type {Becomes} */ (was === undefined ? "added" : same(was, value) ? "same" : "replaced");
    return { fate: { id: value.id, name: value.name, becomes, isOlder: isOlder && becomes === "replaced" }, put: { store, key: value.id, was, value } };
  });
  const others = [...ours.values()].filter(({ id }) => !theirs.some((one) => one.id === id));
  const becomes = /** @type {Becomes} */ (way === "replace" ? "removed" : "stays");
  const rest = others.map((was) => ({ fate: { id: was.id, name: was.name, becomes, isOlder: false }, put: { store, key: was.id, was, value: undefined } }));
  return [...come, ...rest];
}

/** @param {import("./file-shape.js").FilePhoto} photo @param {Map<string, Uint8Array>} pictures @param {{photos: Map<string, {was: any}>}} present @returns {Put} */
function photoPut({ data: _, ...photo }, pictures, { photos }) {
  const bytes = /** @type {Uint8Array<ArrayBuffer>} */ (pictures.get(photo.id));
  return { store: "photos", key: photo.id, was: photos.get(photo.id)?.was, value: { ...photo, blob: new Blob([bytes], { type: photo.type }) } };
}

/**
 * The card and the set-up in use, and the emergency number. What is set here stays when cards are added; and the number stays too
 * when everything is replaced by a file that has none.
 * @param {string} key @param {Record<string, any>} theirs @param {Map<string, any>} ours @param {Way} way @param {string[]} gone @returns {Put}
 */
function factPut(key, theirs, ours, way, gone) {
  const was = ours.get(key);
  const mine = key === "job" && gone.includes(was?.id) ? undefined : was;
  const kept = key === "setup" && way === "replace" ? undefined : mine;
  return { store: "kept", key, was, value: way === "replace" ? theirs[key] ?? kept : kept ?? theirs[key] };
}

/** Which of the file's pictures are on the phone already. @param {Map<string, any>} stored @param {Read} read */
async function alike(stored, { pictures }) {
  const found = new Map();
  for (const [id, was] of stored) {
    const bytes = pictures.get(id);
    const isSame = bytes !== undefined && sameBytes(bytes, new Uint8Array(await was.blob.arrayBuffer()));
    found.set(id, { isSame, was });
  }
  return found;
}

/** @param {Uint8Array} one @param {Uint8Array} other */
function sameBytes(one, other) {
  return one.length === other.length && one.every((byte, n) => byte === other[n]);
}

/** @param {string[]} jobs @returns {Promise<import("./store.js").Change[]>} */
async function confirmations(jobs) {
  const keys = [...(await readAll("confirmed")).keys()].filter((key) => jobs.includes(key.split("/")[0]));
  return keys.map((key) => ({ store: "confirmed", key, change: () => undefined }));
}
