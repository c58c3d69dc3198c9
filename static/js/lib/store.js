/**
 * What a person enters, kept on the phone: one database, opened once a page and shared by all of it. No DOM.
 *
 * A write is a list of changes, `{store, key, change}`, where `change` gets what is kept under the key (undefined: nothing) and
 * gives what shall stand there (undefined: nothing). It is plain and quick: no promise, nothing read from elsewhere, so that a
 * transaction never waits for anything foreign. All changes of a write come into the database together or not at all. A change
 * may run more than once, on what another window wrote meanwhile: change the one field that is meant, and give new things their
 * id beforehand.
 *
 * What cannot be written stays in the memory of this page as changes still to be made. Every later read sees them, every later
 * write tries them again, and `watchState` says why they are not on the phone.
 *
 * What the person entered stands a second time in another storage (second-copy.js) before it is said to be kept, and comes back from
 * there into a database that is found new.
 *
 * @typedef {"setups" | "kept" | "used" | "jobs" | "photos" | "confirmed"} StoreName
 * @typedef {{store: string, key: string, change: (old: any) => any}} Change
 * @typedef {{store: string, key: string}} Place
 * @typedef {{kept: boolean, why: State}} Outcome  kept: on the phone, not in memory only
 * @typedef {"fine" | "blocked" | "older" | "full" | "lost" | "impossible"} State
 *   fine        what has been written is on the phone
 *   blocked     another window holds the database and has to be closed; it goes on by itself when that is done
 *   older       a newer version of the app has changed the database: this page has to be loaded again
 *   full        the phone has no room
 *   lost        the database does not answer any more
 *   impossible  this browser window has no database
 */

import { commit, NAME, nameOf, OURS, standsTwice, twice, whenBlocked } from "./database.js";

/** @typedef {import("../../vendor/idb.js").Objects} Objects */

/** Where the id of the setup in use stands (setup.js). */
export const SETUP_IN_USE = /** @type {const} */ ({ store: "kept", key: "setup" });

/** A browser that does not say how full it is holds no write up for longer. */
const MEASURE_MS = 500;

/** @type {Record<string, State>} */
const WHY = { QuotaExceededError: "full", VersionError: "older", UnknownError: "lost", AbortError: "lost", InvalidStateError: "lost", TransactionInactiveError: "lost" };

/** @type {Change[]} changes that are not on the phone, in the order in which they were made */
let pending = [];
/** @type {Promise<unknown>} the last of the writes under way: one at a time, in order */
let tail = Promise.resolve();
/** @type {State} */
let state = "fine";
/** @type {Set<(state: State) => void>} */
const watchers = new Set();
/** @type {Set<(places: Place[]) => void>} */
const listeners = new Set();
/** @type {BroadcastChannel | null | undefined} undefined: not looked for yet; null: there is none */
let channel;
let hasAsked = false;
/** @type {Promise<unknown> | null} how full the phone is, asked for once a page before the first write: see `roomUsed` */
let measured = null;

whenBlocked(() => turn("blocked"));

/**
 * Keep changes. Resolves when they are on the phone, or once it is known that they are not.
 * @param {Change[]} changes
 * @param {{entered?: boolean, large?: number}} [options]  entered: false for what the person did not enter, so that nothing is
 *   asked for it; large: bytes, about, of what can be had again (a picture, a file): where there is no room it is not tried, where it
 *   cannot be written it is dropped, and the outcome says so, instead of standing in the way of every later write
 * @returns {Promise<Outcome>}
 * @throws {TypeError} a change that gives a promise; DataCloneError: one that gives what cannot be stored. Nothing is changed then.
 */
export function write(changes, { entered = true, large = 0 } = {}) {
  const done = tail.then(async () => (await hasRoom(large) ? keep(changes, large > 0) : { kept: false, why: /** @type {const} */ ("full") }));
  tail = done.catch(() => {});
  if (entered) void done.then(({ kept }) => kept && askToStay()).catch(() => {});
  // Later reads and writes wait for the database alone; whoever wrote hears of it when it stands twice.
  return done.then(async (outcome) => (await standsTwice(), outcome));
}

/** What is kept under a key, or undefined. Take it as it is: change it by `write` only. @param {string} store @param {string} key @returns {Promise<any>} */
export async function read(store, key) {
  await tail;
  const kept = await reading(store, (objects) => objects.get(key), undefined);
  return pending.filter((one) => one.store === store && one.key === key).reduce((value, { change }) => change(value), kept);
}

/** Everything in a store by its keys. @param {string} store @returns {Promise<Map<string, any>>} */
export async function readAll(store) {
  await tail;
  /** @type {[string[], any[]]} */
  const nothing = [[], []];
  const [keys, values] = await reading(store, (objects) => Promise.all([objects.getAllKeys(), objects.getAll()]), nothing);
  const all = new Map(keys.map((key, n) => [key, values[n]]));
  for (const one of pending.filter((each) => each.store === store)) putInto(all, one.key, one.change(all.get(one.key)));
  return all;
}

/** Be told whether what is entered is kept, at once and after each turn. @param {(state: State) => void} watcher @returns {() => void} stop */
export function watchState(watcher) {
  watchers.add(watcher);
  watcher(state);
  return () => watchers.delete(watcher);
}

/**
 * Be told what another window has changed. Where the browser has no channel between windows nothing comes: read again when
 * the person returns to the page, in any case.
 * @param {(places: Place[]) => void} listener
 * @returns {() => void} stop
 */
export function watchOthers(listener) {
  listeners.add(listener);
  link();
  return () => listeners.delete(listener);
}

/** Note that a page was opened just now. @param {string} address  below the language and without what stands behind '?', as 'figures/mixture/' */
export function noteUsed(address) {
  const at = Date.now();
  const change = (/** @type {any} */ old) => ({ pinned: 0, ...old, address, at });
  return write([{ store: "used", key: address, change }], { entered: false });
}

/** Pin a page, or take the pin out. @param {string} address  as for noteUsed @param {boolean} isPinned */
export function pin(address, isPinned) {
  const now = Date.now();
  const change = (/** @type {any} */ old) => ({ at: 0, ...old, address, pinned: isPinned ? old?.pinned || now : 0 });
  return write([{ store: "used", key: address, change }]);
}

/** Addresses of the pages opened last, the last one first. @param {number} limit @returns {Promise<string[]>} */
export async function lastUsed(limit) {
  const all = [...(await readAll("used")).values()].filter(({ at }) => at);
  return all.sort((one, other) => other.at - one.at).slice(0, limit).map(({ address }) => address);
}

/** Addresses of the pinned pages in the order in which they were pinned. @returns {Promise<string[]>} */
export async function pinned() {
  const all = [...(await readAll("used")).values()].filter((page) => page.pinned);
  return all.sort((one, other) => one.pinned - other.pinned).map(({ address }) => address);
}

// -- writing and reading --------------------------------------------------------------------------------------

/** @param {Change[]} changes @param {boolean} isDropped  where it cannot be written @returns {Promise<Outcome>} */
async function keep(changes, isDropped) {
  const all = [...pending, ...changes];
  if (!all.length) return { kept: true, why: state };
  try {
    await twice(async (db) => {
      await (measured ??= measure());
      await commit(db, all);
    });
  } catch (error) {
    if (OURS.includes(nameOf(error))) throw error;
    if (isDropped) return { kept: false, why: whyOf(error) };
    pending = all;
    turn(whyOf(error));
    return { kept: false, why: state };
  }
  pending = [];
  turn("fine");
  tellOthers(all);
  return { kept: true, why: state };
}

/** Whether something large may be tried. @param {number} bytes */
async function hasRoom(bytes) {
  if (!bytes) return true;
  const { quota = Infinity, usage = 0 } = await roomUsed();
  return quota - usage > 2 * bytes; // it stands twice
}

/** Asks how full the phone is, once the database is open: before that there is nothing to be counted. */
function measure() {
  return Promise.race([roomUsed(), new Promise((done) => setTimeout(done, MEASURE_MS))]);
}

/**
 * How full the browser says that it is. Where Chromium 156 first finds this out during a write that then fails, it counts what that
 * write had put on the disk, and refuses small writes too from then on; asked beforehand it does not.
 * @returns {Promise<StorageEstimate>}
 */
async function roomUsed() {
  try {
    return await navigator.storage.estimate();
  } catch {
    return {}; // it does not say: trying shows
  }
}

/**
 * @template T
 * @param {string} store
 * @param {(objects: Objects) => Promise<T>} ask
 * @param {T} nothing  the answer where nothing can be read
 * @returns {Promise<T>}
 */
async function reading(store, ask, nothing) {
  try {
    const found = await twice((db) => ask(db.transaction([store], "readonly").objectStore(store)));
    if (!pending.length) turn("fine");
    return found;
  } catch (error) {
    turn(whyOf(error));
    return nothing;
  }
}

/** @param {Map<string, any>} all @param {string} key @param {any} value */
function putInto(all, key, value) {
  if (value === undefined) all.delete(key);
  else all.set(key, value);
}

/** @param {unknown} error @returns {State} */
function whyOf(error) {
  return WHY[nameOf(error)] ?? "impossible";
}

/** @param {State} now */
function turn(now) {
  if (now === state) return;
  state = now;
  watchers.forEach((watcher) => watcher(now));
}

// -- other windows, and staying ---------------------------------------------------------------------------------

/** @param {Change[]} changes */
function tellOthers(changes) {
  link()?.postMessage(changes.map(({ store, key }) => ({ store, key })));
}

/** @returns {BroadcastChannel | null} */
function link() {
  if (channel !== undefined) return channel;
  try {
    channel = new BroadcastChannel(NAME);
    channel.onmessage = ({ data }) => listeners.forEach((listener) => listener(data));
  } catch {
    channel = null;
  }
  return channel;
}

/** Ask the browser, once a page, not to clear this away when the phone runs out of room; what it answers is its own business. */
function askToStay() {
  if (hasAsked) return;
  hasAsked = true;
  try {
    navigator.storage?.persist?.()?.catch?.(() => {});
  } catch {
    // it has no such thing: kept-on-the-phone.md says what that means
  }
}
