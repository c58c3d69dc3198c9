/**
 * The phone's database: its schema, the one connection of a page, its transactions, and that it holds all that was ever said to be
 * kept. No DOM. Only store.js uses it.
 *
 * Whatever is written is noted in the same transaction as not copied yet, and copied before anybody is told that it is kept
 * (second-copy.js says why). The note goes some time after the copy: where the browser was ended in between, or the page left, the next
 * opening copies it.
 *
 * @typedef {import("./store.js").Change} Change
 * @typedef {import("./store.js").Place} Place
 */

import { openDB } from "../../vendor/idb.js";
import { addressOf, alone, catchUp, copied, isCaughtUp, note } from "./second-copy.js";

/** @typedef {import("../../vendor/idb.js").Database} Database */
/** @typedef {import("../../vendor/idb.js").Transaction} Transaction */

export const NAME = "cowlside";

const ENTERED = ["setups", "kept", "used", "jobs", "confirmed", "photos"]; // the large ones last
/** About the database itself: since when all is in it that the second copy had, and each window's note of what is not copied yet. */
const ABOUT = "about";
const WHOLE = "whole";
const NOTE = "behind ";

/**
 * How the database came to be, one step for each version of its schema; the last one is the present version. A step that has
 * been released is never changed: a later one follows it. Keys are given by whoever writes, so a store is made without a key path.
 * @type {((db: Database, tx: Transaction) => void)[]}
 */
export const STEPS = [
  (db) => ["setups", "kept", "used"].forEach((name) => db.createObjectStore(name)),
  (db) => ["jobs", "photos", "confirmed"].forEach((name) => db.createObjectStore(name)),
  (db) => db.createObjectStore(ABOUT),
];

/** An opening that has not answered by then waits for another window: of several that wait, the browser tells only the first. */
const PATIENCE_MS = 2000;
/** A second copy that does not answer holds the opening up for no longer. */
const RESTORE_MS = 5000;
/** So long after a copy its note goes: a burst of writes pays for it once. */
const FORGET_MS = 1000;

/** Faults that go away with a new connection: an iPhone drops the old one while the page is in the background. */
const MENDED_BY_REOPENING = ["InvalidStateError", "UnknownError", "AbortError", "TransactionInactiveError"];
/** Faults of whoever called: told to them, not worked around. */
export const OURS = ["DataCloneError", "DataError", "TypeError"];

const MINE = NOTE + Math.random().toString(36).slice(2);
/** @type {Map<string, number>} key of a note -> how often it had been written when all in it was known here */
const notes = new Map();
/** @type {Promise<Database> | null} */
let opening = null;
/** @type {ReturnType<typeof setTimeout> | undefined} */
let forgetting;
let onBlocked = () => {};

/** Be told that another window holds the database and has to be closed. @param {() => void} fn */
export function whenBlocked(fn) {
  onBlocked = fn;
}

/** Works on the database, on a fresh connection too where the old one has failed. @template T @param {(db: Database) => Promise<T>} work @returns {Promise<T>} */
export async function twice(work) {
  try {
    return await work(await open());
  } catch (error) {
    if (!MENDED_BY_REOPENING.includes(nameOf(error))) throw error;
    drop();
    return work(await open());
  }
}

/** All changes in one transaction; done when the browser says that it is complete. @param {Database} db @param {Change[]} changes */
export async function commit(db, changes) {
  const places = changes.map(({ store, key }) => ({ store, key }));
  let times = 0;
  const noting = (/** @type {{times: number, places: Place[]} | undefined} */ old) => {
    const all = new Map([...(old?.places ?? []), ...places].map((place) => [addressOf(place), place]));
    times = (old?.times ?? 0) + 1;
    return { times, places: [...all.values()] };
  };
  await transact(db, [...changes, { store: ABOUT, key: MINE, change: noting }]);
  note(places);
  notes.set(MINE, times);
}

/** Resolves when all that has been committed stands in the second copy too, or cannot. Never fails. */
export async function standsTwice() {
  await catchUp(({ store, key }) => twice((db) => objectsOf(db, store).get(key)));
  clearTimeout(forgetting);
  if (isCaughtUp()) forgetting = setTimeout(forgetNotes, FORGET_MS, [...notes]);
}

/** @param {unknown} error */
export function nameOf(error) {
  return error instanceof Error || error instanceof DOMException ? error.name : "";
}

// -- transactions -----------------------------------------------------------------------------------------------

/** @param {Database} db @param {Change[]} changes */
async function transact(db, changes) {
  const names = [...new Set(changes.map(({ store }) => store))];
  // "strict": complete means that it is on the disk, so that a phone that runs out of power has it too.
  const tx = db.transaction(names, "readwrite", { durability: "strict" });
  // Heard from the start: an abort while something is read is no fault that nobody takes.
  const done = tx.done.then(() => null, (error) => error);
  try {
    await Promise.all(await folded(tx, changes));
  } catch (error) {
    abort(tx);
    await done;
    throw error;
  }
  const fault = await done;
  if (fault) throw fault;
}

/** Reads each key once, makes its changes in order, puts what comes of them. @param {Transaction} tx @param {Change[]} changes */
async function folded(tx, changes) {
  const places = new Map(changes.map(({ store, key }) => [`${store} ${key}`, { store, key }]));
  const puts = [];
  for (const { store, key } of places.values()) {
    const objects = tx.objectStore(store);
    const old = await objects.get(key);
    const made = changes.filter((one) => one.store === store && one.key === key).reduce((value, { change }) => plain(change(value)), old);
    puts.push(made === undefined ? objects.delete(key) : objects.put(made, key));
    puts.at(-1)?.catch(() => {}); // heard together with the others
  }
  return puts;
}

/** @template T @param {T} value @returns {T} @throws {TypeError} for a promise: a transaction ends while it is waited for */
function plain(value) {
  if (typeof (/** @type {any} */ (value)?.then) === "function") throw new TypeError("a change gave a promise; prepare first, then write");
  return value;
}

/** @param {Transaction} tx  ended already, perhaps */
function abort(tx) {
  try {
    tx.abort();
  } catch {
    // it has ended by itself
  }
}

/** @param {Database} db @param {string} store @param {"readonly" | "readwrite"} [mode] */
function objectsOf(db, store, mode = "readonly") {
  return db.transaction([store], mode).objectStore(store);
}

// -- the one connection -----------------------------------------------------------------------------------------

/** @returns {Promise<Database>} one for all who ask; one that failed is not remembered */
function open() {
  if (!opening) {
    const mine = openOnce();
    opening = mine;
    mine.catch(() => opening === mine && (opening = null));
  }
  return opening;
}

async function openOnce() {
  const db = await connect();
  await Promise.race([makeWhole(db).catch(() => {}), new Promise((done) => setTimeout(done, RESTORE_MS))]);
  return db;
}

async function connect() {
  const waiting = setTimeout(() => onBlocked(), PATIENCE_MS);
  try {
    return await openDB(NAME, STEPS.length, {
      upgrade: (db, from, _, tx) => STEPS.slice(from).forEach((step) => step(db, tx)),
      blocked: () => onBlocked(),
      blocking: (_, __, event) => {
        // A newer version, or whoever deletes the database, waits for this window: let it go on.
        /** @type {IDBDatabase} */ (event.target).close();
        opening = null;
      },
      terminated: () => (opening = null),
    });
  } catch (error) {
    // A browser without the thing at all: no fault of whoever writes.
    throw OURS.includes(nameOf(error)) ? new DOMException(String(error), "NotSupportedError") : error;
  } finally {
    clearTimeout(waiting);
  }
}

/** Forget the connection; what it has begun may end. */
function drop() {
  opening?.then((db) => db.close()).catch(() => {});
  opening = null;
}

// -- all that was kept is there -----------------------------------------------------------------------------------

/**
 * Into a database that has begun anew comes what the second copy holds; what it has already stays. Where this fails the database serves
 * as it is, and the next opening tries again. What was not copied when a window ended is copied by and by.
 * @param {Database} db
 */
async function makeWhole(db) {
  if (!(await about(db)).has(WHOLE)) await alone("restoring", async () => (await about(db)).has(WHOLE) || restore(db));
  for (const [key, { times, places }] of await about(db)) {
    if (!key.startsWith(NOTE) || key === MINE) continue;
    note(places);
    notes.set(key, times);
  }
  if (!isCaughtUp()) setTimeout(standsTwice, FORGET_MS);
}

/** @param {Database} db */
async function restore(db) {
  const had = new Set();
  for await (const { store, key, value } of copied(ENTERED)) {
    await transact(db, [{ store, key, change: (old) => old ?? value }]);
    had.add(addressOf({ store, key }));
  }
  for (const store of ENTERED) {
    const places = (await objectsOf(db, store).getAllKeys()).map((key) => ({ store, key }));
    note(places.filter((place) => !had.has(addressOf(place))));
  }
  await transact(db, [{ store: ABOUT, key: WHOLE, change: () => Date.now() }]);
}

/** @param {Database} db @returns {Promise<Map<string, any>>} */
async function about(db) {
  const objects = objectsOf(db, ABOUT);
  const [keys, values] = await Promise.all([objects.getAllKeys(), objects.getAll()]);
  return new Map(keys.map((key, n) => [key, values[n]]));
}

/** @param {[string, number][]} copied  notes, and how often they had been written: one that has been written since stays */
async function forgetNotes(copied) {
  const change = (/** @type {number} */ times) => (/** @type {{times: number} | undefined} */ old) => (old?.times === times ? undefined : old);
  const changes = copied.map(([key, times]) => ({ store: ABOUT, key, change: change(times) }));
  if (!changes.length) return;
  await twice((db) => transact(db, changes)).catch(() => {}); // it is copied once more, then
  for (const [key, times] of copied) if (notes.get(key) === times) notes.delete(key);
}
