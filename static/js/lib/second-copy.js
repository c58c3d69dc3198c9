/**
 * What a person entered, once more, in another storage of the browser. No DOM, and nothing of the database: store.js says what stands there.
 *
 * Ended in the middle of a write, again and again, Chromium 156 now and then finds its database damaged at a later opening and begins
 * a new, empty one (seen about once in 200 kills). Cache Storage keeps plain files: here the same entries stand a second time, and
 * come back when the database is found to be new.
 *
 * An entry has two slots with a number that counts up, and the older one is written: a write that is cut off leaves the newer one whole.
 * What cannot be copied, for lack of room say, is tried again with the next write; the database has it in any case.
 *
 * @typedef {import("./store.js").Place} Place
 * @typedef {Place & {value: any}} Entry
 */

/** Below no prefix that the worker clears up. */
const NAME = "cowlside-second-copy";
const SLOTS = ["a", "b"];
const BLOB = "blob:";
const NUMBER = "x-number";
const SIZES = "x-sizes"; // bytes of the JSON, and of all of it
/** A copy holds no acknowledgement up for longer; once one has, none waits until a copy has come through again. */
const PATIENCE_MS = 2000;

/** @type {Map<string, Place>} places whose copy is not up to date */
const behind = new Map();
/** @type {Promise<void>} the copying under way: one at a time in this window */
let tail = Promise.resolve();
let isStuck = false;

/** What stands at these places has changed: the next `catchUp` copies it. @param {Place[]} places */
export function note(places) {
  for (const place of places) behind.set(addressOf(place), { ...place }); // a new object each time: see copyAll
}

/**
 * Bring the copy up to date. Never fails.
 * @param {(place: Place) => Promise<any>} look  what stands there now, undefined: nothing. Asked while no other window copies, so that
 *   of two windows the later one never leaves the older state
 */
export async function catchUp(look) {
  tail = tail.then(() => copyAll(look));
  if (isStuck) return;
  const late = new Promise((/** @type {(isLate: boolean) => void} */ done) => setTimeout(() => done(true), PATIENCE_MS));
  if (await Promise.race([tail.then(() => false), late])) isStuck = true;
}

/** Whether nothing is waiting to be copied. */
export function isCaughtUp() {
  return behind.size === 0;
}

/**
 * All that the copy holds of some stores, in their order, entry after entry: pictures are large.
 * @param {string[]} stores
 * @returns {AsyncGenerator<Entry>} nothing where the browser has no such storage
 */
export async function* copied(stores) {
  const cache = await opened(false);
  const places = new Map(((await cache?.keys()) ?? []).map(({ url }) => placeOf(url)).map((place) => [addressOf(place), place]));
  for (const wanted of stores) {
    for (const place of [...places.values()].filter(({ store }) => store === wanted)) {
      const value = await newest(/** @type {Cache} */ (cache), place);
      if (value !== undefined) yield { ...place, value };
    }
  }
}

/** Do something while no other window of this app does what has the same name. @template T @param {string} name @param {() => Promise<T>} work @returns {Promise<T>} */
export function alone(name, work) {
  return globalThis.navigator?.locks ? navigator.locks.request(`${NAME} ${name}`, work) : work();
}

// -- inside ---------------------------------------------------------------------------------------------------------

/** @param {(place: Place) => Promise<any>} look */
async function copyAll(look) {
  if (!behind.size) return;
  try {
    await alone("copying", async () => {
      const cache = await opened(true);
      for (const [address, place] of [...behind]) {
        if (cache && !(await copyOne(cache, place, look))) continue;
        if (behind.get(address) === place) behind.delete(address); // not what has been noted anew meanwhile
      }
    });
    isStuck = false;
  } catch {
    // No such storage in this window: all of it stays behind.
  }
}

/** @param {Cache} cache @param {Place} place @param {(place: Place) => Promise<any>} look @returns {Promise<boolean>} false: it stays behind, and holds no other up */
async function copyOne(cache, place, look) {
  try {
    const value = await look(place);
    const slots = (await slotsOf(cache, place)).sort((one, other) => one.number - other.number);
    if (value === undefined) await Promise.all(slots.map(({ address }) => cache.delete(address)));
    else await cache.put(slots[0].address, packed(value, slots[1].number + 1));
    return true;
  } catch {
    return false;
  }
}

/** What the newest slot holds that is whole. @param {Cache} cache @param {Place} place @returns {Promise<any>} undefined: none is */
async function newest(cache, place) {
  const slots = (await slotsOf(cache, place)).sort((one, other) => other.number - one.number);
  for (const { answer } of slots) {
    const value = answer && (await unpacked(answer));
    if (value !== undefined) return value;
  }
}

/** @param {Cache} cache @param {Place} place @returns {Promise<{address: string, answer: Response | undefined, number: number}[]>} number 0: an empty one */
function slotsOf(cache, place) {
  const look = async (/** @type {string} */ address) => {
    const answer = await cache.match(address);
    return { address, answer, number: Number(answer?.headers.get(NUMBER) ?? 0) };
  };
  return Promise.all(SLOTS.map((slot) => look(addressOf(place) + slot)));
}

/** JSON, and the pictures in it behind it as they are. @param {any} value @param {number} number */
function packed(value, number) {
  /** @type {Blob[]} */
  const blobs = [];
  let end = 0;
  const placed = (/** @type {string} */ _, /** @type {any} */ each) => {
    if (!(each instanceof Blob)) return each;
    blobs.push(each);
    return { [BLOB]: [end, (end += each.size), each.type] };
  };
  const text = new Blob([JSON.stringify(value, placed)]);
  const body = new Blob([text, ...blobs]);
  return new Response(body, { headers: { [NUMBER]: `${number}`, [SIZES]: `${text.size} ${body.size}` } });
}

/** @param {Response} answer @returns {Promise<any>} undefined: not whole */
async function unpacked(answer) {
  try {
    const [text, all] = (answer.headers.get(SIZES) ?? "").split(" ").map(Number);
    const body = await answer.blob();
    if (body.size !== all) return undefined;
    return JSON.parse(await body.slice(0, text).text(), (_, each) => {
      const [from, to, type] = each?.[BLOB] ?? [];
      return to === undefined ? each : body.slice(text + from, text + to, type);
    });
  } catch {
    return undefined;
  }
}

/** @param {boolean} isMade  where there is none yet @returns {Promise<Cache | null>} */
async function opened(isMade) {
  if (!globalThis.caches) return null;
  return isMade || (await caches.has(NAME)) ? caches.open(NAME) : null;
}

/** @param {Place} place */
export function addressOf({ store, key }) {
  // As JSON first: half a character, which an address cannot hold, stands there as plain letters.
  return `/second-copy/${store}/${encodeURIComponent(JSON.stringify(key))}/`;
}

/** @param {string} url  of a slot @returns {Place} */
function placeOf(url) {
  const [, , store, key] = new URL(url).pathname.split("/");
  return { store, key: JSON.parse(decodeURIComponent(key)) };
}
