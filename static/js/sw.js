/// <reference lib="webworker" />
/**
 * The service worker. It keeps one whole, hash-checked copy of this release for each language that is used on this
 * phone, and answers every page from that copy, whatever the network does.
 *
 * Rules:
 * - A copy is written only when every file of it has arrived right. A failed save changes nothing and says which file.
 * - A copy counts only with its mark, which is written last: what a killed worker leaves behind is never served.
 * - This release is answered from this release's copy alone; nothing is added to it page by page.
 * - A new release waits until the person accepts it ("take-over").
 * - Every address is relative to the scope, so the site may lie in any folder of a host.
 *
 * @typedef {[path: string, kind: string, sha256: string]} Listed  kind is a media type, sha256 the base64 of its
 *   first 9 bytes: enough to tell any two files apart, and the list is sent with each release
 * @typedef {{bytes: Uint8Array<ArrayBuffer>, headers: Headers}} Arrived  a file that was checked
 * @typedef {object} BundleData
 * @property {string} release
 * @property {string} dated        ISO date of the content, or ""
 * @property {string[]} languages  the first one is saved when nothing tells which
 * @property {Record<string, string>} news  by language: what this release changes
 * @property {number} patience     milliseconds without a byte after which a file is given up
 * @property {Listed[]} shared
 * @property {Record<string, Listed>} packs  by language: one file that brings all its texts at once (see `filesIn`)
 * @property {Record<string, Listed[]>} own
 */

/** @type {BundleData} The site puts its own list in place of the next line. */
const BUNDLE = { release: "", dated: "", languages: [], news: {}, patience: 20000, shared: [], packs: {}, own: {} };

const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));
const SCOPE = new URL(worker.registration.scope);
/** Caches belong to the whole host: the folder in the name keeps two sites on one host apart (its own ":" is encoded). */
const PREFIX = `cowlside:${encodeURIComponent(SCOPE.pathname)}:`;
const MARK = "whole-copy";
/** Files fetched at a time: few enough to leave room for the page itself on a weak signal. */
const LANES = 4;
const TRIES = 2;
/** Files of a pack that must be missing before the whole pack is fetched for them. */
const WORTH_A_PACK = 8;
const HASH_BYTES = 9;
/** In a page: what its script draws anew at each start. It is sent to browsers without scripts, and not kept. */
const DRAWN = /<!--drawn-->[^]*?<!--\/drawn-->/g;
/** Headers of the pack itself that would be wrong for the files in it. */
const PACK_HEADERS = ["etag", "last-modified", "cache-control", "content-disposition"];
/** Milliseconds that an address outside the copy may take before "not saved" is shown instead. */
const PAGE_PATIENCE = 8000;
/** Headers that describe the transfer, not the file; the stored body is already unpacked. */
const TRANSFER_HEADERS = ["content-encoding", "content-length", "transfer-encoding", "vary", "age", "accept-ranges"];
/** Older names of media types, which hosts still send and browsers take for the same. @type {Record<string, string>} */
const OLDER_KINDS = {
  "application/javascript": "text/javascript",
  "application/x-javascript": "text/javascript",
  "audio/wave": "audio/wav",
  "audio/x-wav": "audio/wav",
  "image/vnd.microsoft.icon": "image/x-icon",
};

/** @type {Map<string, string[]>} path -> languages whose copy holds it */
const HOLDERS = new Map();
for (const language of BUNDLE.languages) {
  for (const [path] of filesOf(language)) HOLDERS.set(path, [...(HOLDERS.get(path) ?? []), language]);
}

/** Why a copy could not be written: the file (path in the site) and a reason the page has words for. */
class SaveFailure extends Error {
  /**
   * @param {string} file
   * @param {"no_answer"|"too_slow"|"status"|"moved"|"kind"|"different"|"no_room"} why
   * @param {number} status  HTTP status where `why` is "status", else 0
   */
  constructor(file, why, status = 0) {
    super(`${file}: ${why} ${status || ""}`);
    this.file = file;
    this.why = why;
    this.status = status;
  }
}

// ---- which files, which caches

/** @param {string} language @returns {Listed[]} */
function filesOf(language) {
  return [...BUNDLE.shared, ...(BUNDLE.own[language] ?? [])];
}

/** @param {string} path @returns {string} absolute address */
function address(path) {
  return new URL(path, SCOPE).href;
}

/** @param {string} language */
function cacheName(language) {
  return `${PREFIX}${BUNDLE.release}:${language}`;
}

/** @type {Map<string, Cache>} copies found whole since this worker woke up */
const opened = new Map();

/** The copy of a language if it was once written to its end, else null. @param {string} language */
async function wholeCopy(language) {
  const known = opened.get(language);
  if (known) return known;
  if (!(await caches.has(cacheName(language)))) return null;
  const cache = await caches.open(cacheName(language));
  if (!(await cache.match(address(MARK)))) return null;
  opened.set(language, cache);
  return cache;
}

/** @returns {Promise<string[]>} languages of this release with a whole copy */
async function savedLanguages() {
  const copies = await Promise.all(BUNDLE.languages.map(wholeCopy));
  return BUNDLE.languages.filter((_, index) => copies[index]);
}

// ---- reading back

/** @param {BufferSource} bytes @returns {Promise<string>} as the list has it */
async function sha256(bytes) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return btoa(String.fromCharCode(...digest.subarray(0, HASH_BYTES)));
}

/** Files of a language that cannot be read back with the right hash. @param {string} language @returns {Promise<Listed[]>} */
async function wrongFiles(language) {
  opened.delete(language);
  if (!(await caches.has(cacheName(language)))) return filesOf(language);
  const cache = await caches.open(cacheName(language));
  /** @type {Listed[]} */
  const wrong = [];
  await inLanes(filesOf(language), async (listed) => {
    const response = await cache.match(address(listed[0]), { ignoreVary: true });
    if (!response || (await sha256(await response.arrayBuffer())) !== listed[2]) wrong.push(listed);
  });
  return wrong;
}

/**
 * Runs `job` on every item, a few at a time; stops handing out items after the first failure.
 * @template T
 * @param {T[]} items
 * @param {(item: T) => Promise<void>} job
 */
async function inLanes(items, job) {
  const queue = items.values();
  let stopped = false;
  const lane = async () => {
    for (const item of queue) {
      if (stopped) return;
      await job(item);
    }
  };
  const lanes = Array.from({ length: LANES }, lane);
  await Promise.all(lanes).catch((error) => {
    stopped = true;
    throw error;
  });
}

// ---- fetching and checking

/**
 * One file past the HTTP cache, checked; a second try where the network alone was at fault.
 * @param {Listed} listed
 * @param {AbortSignal} given_up  fires when the whole save has failed
 * @returns {Promise<Arrived>}
 */
async function fetchRight(listed, given_up) {
  for (let attempt = 1; ; attempt += 1) {
    try {
      return await fetchOnce(listed, given_up);
    } catch (error) {
      const mayPass = error instanceof SaveFailure && (error.why === "no_answer" || error.status >= 500);
      if (attempt === TRIES || !mayPass || given_up.aborted) throw error;
    }
  }
}

/** @param {Listed} listed @param {AbortSignal} given_up @returns {Promise<Arrived>} */
async function fetchOnce([path, kind, hash], given_up) {
  const stop = new AbortController();
  const slow = () => stop.abort("too_slow");
  let timer = setTimeout(slow, BUNDLE.patience);
  const onGivenUp = () => stop.abort("given_up");
  given_up.addEventListener("abort", onGivenUp);
  try {
    const options = /** @type {const} */ ({ cache: "reload", redirect: "manual", credentials: "same-origin" });
    const response = await fetch(address(path), { ...options, signal: stop.signal });
    checkHead(path, kind, response);
    const sent = await bodyOf(response, () => {
      clearTimeout(timer);
      timer = setTimeout(slow, BUNDLE.patience);
    });
    const bytes = kind === "text/html" ? asKept(sent) : sent;
    if ((await sha256(bytes)) !== hash) throw new SaveFailure(path, "different");
    return { bytes, headers: response.headers };
  } catch (error) {
    if (error instanceof SaveFailure) throw error;
    throw new SaveFailure(path, stop.signal.reason === "too_slow" ? "too_slow" : "no_answer");
  } finally {
    clearTimeout(timer);
    given_up.removeEventListener("abort", onGivenUp);
  }
}

/** A page as it is kept. @param {Uint8Array<ArrayBuffer>} page @returns {Uint8Array<ArrayBuffer>} */
function asKept(page) {
  return new TextEncoder().encode(new TextDecoder("utf-8", { ignoreBOM: true }).decode(page).replace(DRAWN, ""));
}

/** @param {string} path @param {string} kind @param {Response} response */
function checkHead(path, kind, response) {
  if (response.type === "opaqueredirect" || response.redirected) throw new SaveFailure(path, "moved");
  if (response.status !== 200) throw new SaveFailure(path, "status", response.status);
  const sent = (response.headers.get("content-type") ?? "").split(";")[0].trim().toLowerCase();
  if ((OLDER_KINDS[sent] ?? sent) !== kind) throw new SaveFailure(path, "kind");
}

/** @param {Response} response @param {() => void} onBytes  called at each piece that arrives */
async function bodyOf(response, onBytes) {
  const reader = response.body?.getReader();
  /** @type {Uint8Array[]} */
  const pieces = [];
  for (let step = await reader?.read(); step && !step.done; step = await reader?.read()) {
    onBytes();
    pieces.push(step.value);
  }
  return new Uint8Array(await new Blob(/** @type {BlobPart[]} */ (pieces)).arrayBuffer());
}

// ---- saving

/** Saves that run: one after the other, so that two open pages do not fetch everything twice. @type {Promise<unknown>} */
let saving = Promise.resolve();

/** Makes the copies of these languages whole, all of them or none. @param {string[]} languages @throws {SaveFailure} */
function save(languages) {
  const mine = saving.then(() => saveNow(languages));
  saving = mine.catch(() => {});
  return mine;
}

/** @param {string[]} languages */
async function saveNow(languages) {
  /** @type {Map<string, Listed>} */
  const wanted = new Map();
  /** @type {Map<string, Listed[]>} */
  const wrong = new Map();
  for (const language of languages) {
    wrong.set(language, await wrongFiles(language));
    for (const listed of wrong.get(language) ?? []) wanted.set(listed[0], listed);
  }
  const arrived = await fetchAll([...wanted.values()]);
  await writeAll(wrong, arrived);
}

/** @param {Listed[]} wanted @returns {Promise<Map<string, Arrived>>} by path */
async function fetchAll(wanted) {
  const givingUp = new AbortController();
  const arrived = await fromPacks(wanted, givingUp.signal);
  const apart = wanted.filter(([path]) => !arrived.has(path));
  try {
    await inLanes(apart, async (listed) => {
      arrived.set(listed[0], await fetchRight(listed, givingUp.signal));
      if (givingUp.signal.aborted) return; // another file failed: nothing may be told after that
      await tellPages({ type: "saving", release: BUNDLE.release, done: arrived.size, of: wanted.length });
    });
  } finally {
    givingUp.abort();
  }
  return arrived;
}

/**
 * What the packs bring, each file checked against its own hash. A pack that does not arrive right is no failure: its files are then
 * fetched one by one, and whatever is wrong is said about a file.
 * @param {Listed[]} wanted
 * @param {AbortSignal} given_up
 * @returns {Promise<Map<string, Arrived>>} by path
 */
async function fromPacks(wanted, given_up) {
  /** @type {Map<string, Arrived>} */
  const arrived = new Map();
  for (const [language, pack] of Object.entries(BUNDLE.packs)) {
    const due = wanted.filter(([path]) => HOLDERS.get(path)?.includes(language) && !arrived.has(path));
    if (due.length < WORTH_A_PACK) continue;
    try {
      await unpack(await fetchRight(pack, given_up), due, arrived);
      await tellPages({ type: "saving", release: BUNDLE.release, done: arrived.size, of: wanted.length });
    } catch {
      continue;
    }
  }
  return arrived;
}

/** @param {Arrived} pack @param {Listed[]} due @param {Map<string, Arrived>} arrived  is added to */
async function unpack(pack, due, arrived) {
  const texts = filesIn(new TextDecoder().decode(pack.bytes));
  for (const [path, kind, hash] of due) {
    const text = texts.get(path);
    if (text === undefined) continue;
    const bytes = new TextEncoder().encode(text);
    if ((await sha256(bytes)) !== hash) continue;
    const headers = new Headers(pack.headers);
    for (const name of PACK_HEADERS) headers.delete(name);
    headers.set("content-type", `${kind}; charset=utf-8`);
    arrived.set(path, { bytes, headers });
  }
}

/**
 * The files of a pack, put together from its streams; webapp/site/pack.py takes them apart and says how.
 * @param {string} pack
 * @returns {Map<string, string>} path -> text
 */
function filesIn(pack) {
  const [paths, ...named] = pack.split("\x1d");
  const skeletons = (named.pop() ?? "").split("\x1e");
  const streams = new Map(named.map((stream) => {
    const [name, ...pieces] = stream.split("\x1f");
    return [name, pieces.values()];
  }));
  const next = (/** @type {string} */ name) => streams.get(name)?.next().value ?? "";
  return new Map(paths.split("\x1f").map((path, n) => {
    const skeleton = skeletons[n] ?? "";
    return [path, path.endsWith("/") ? pageOf(skeleton, next) : skeleton.replaceAll("\x02", () => `"${next("string")}"`)];
  }));
}

/** @param {string} skeleton @param {(name: string) => string} next  the next piece of a stream */
function pageOf(skeleton, next) {
  let [row, label, symbol, last] = ["", "", "", ""];
  return skeleton.replace(/\x01|([\w:-]+)=\x02/g, (_, name) => {
    if (!name) {
      const text = next("text").replaceAll("\x05", () => symbol);
      if (row && !label) label = text;
      if (/\S/.test(text)) last = text;
      return text;
    }
    const value = next(name).replaceAll("\x03", () => row).replaceAll("\x04", () => label).replaceAll("\x06", () => last);
    if (name === "id" && value.startsWith("row-")) [row, label] = [value.slice(4), ""];
    if (name === "data-symbol") symbol = value.replaceAll("_", " ");
    return `${name}="${value}"`;
  });
}

/** @param {Map<string, Listed[]>} wrong  by language @param {Map<string, Arrived>} arrived  by path */
async function writeAll(wrong, arrived) {
  const before = await savedLanguages();
  let path = "";
  try {
    for (const [language, files] of wrong) {
      const cache = await caches.open(cacheName(language));
      for ([path] of files) await cache.put(address(path), stored(/** @type {Arrived} */ (arrived.get(path))));
      await sweep(cache, language);
      await cache.put(address(MARK), new Response(BUNDLE.release));
    }
  } catch {
    const begun = [...wrong.keys()].filter((language) => !before.includes(language));
    await Promise.all(begun.map((language) => (opened.delete(language), caches.delete(cacheName(language)))));
    throw new SaveFailure(path, "no_room");
  }
}

/** The answer as it is kept: its policy headers stay, those of the transfer go. @param {Arrived} file */
function stored({ bytes, headers }) {
  const kept = new Headers(headers);
  for (const name of TRANSFER_HEADERS) kept.delete(name);
  return new Response(bytes, { headers: kept });
}

/** Removes what does not belong to the copy. @param {Cache} cache @param {string} language */
async function sweep(cache, language) {
  const own = new Set(filesOf(language).map(([path]) => address(path)));
  const strangers = (await cache.keys()).filter((request) => !own.has(request.url) && request.url !== address(MARK));
  await Promise.all(strangers.map((request) => cache.delete(request)));
}

/** @param {object} message */
async function tellPages(message) {
  const pages = await worker.clients.matchAll({ type: "window", includeUncontrolled: true });
  for (const page of pages) page.postMessage(message);
}

/** @param {unknown} error */
async function tellFailure(error) {
  const { file, why, status } = error instanceof SaveFailure ? error : new SaveFailure("", "no_room");
  const message = { type: "save-failed", release: BUNDLE.release, file, why, status };
  await tellPages(message);
  return message;
}

// ---- install and activate

/** Languages an earlier release saved, those that are open now, else the site's first. @returns {Promise<string[]>} */
async function languagesToSave() {
  const names = (await caches.keys()).filter((name) => name.startsWith(PREFIX));
  const pages = await worker.clients.matchAll({ type: "window", includeUncontrolled: true });
  const open = pages.map((page) => pathOf(new URL(page.url)).split("/")[0]);
  const asked = new Set([...names.map((name) => name.slice(name.lastIndexOf(":") + 1)), ...open]);
  const known = BUNDLE.languages.filter((language) => asked.has(language));
  return known.length ? known : BUNDLE.languages.slice(0, 1);
}

async function install() {
  try {
    await save(await languagesToSave());
  } catch (error) {
    await tellFailure(error);
    throw error;
  }
}

/** Older copies go only once this release's own copy has been read back. */
async function activate() {
  const saved = await savedLanguages();
  const wrong = await Promise.all(saved.map(wrongFiles));
  if (saved.length && wrong.every((files) => files.length === 0)) {
    const own = BUNDLE.languages.map(cacheName);
    const old = (await caches.keys()).filter((name) => name.startsWith(PREFIX) && !own.includes(name));
    await Promise.all(old.map((name) => caches.delete(name)));
  }
  // The first page of all becomes able to ask for its state; pages never reload on this by themselves.
  await worker.clients.claim();
}

worker.addEventListener("install", (event) => event.waitUntil(install()));
worker.addEventListener("activate", (event) => event.waitUntil(activate()));

// ---- answering

/** @param {URL} url @returns {string} path below the scope */
function pathOf(url) {
  return url.pathname.startsWith(SCOPE.pathname) ? url.pathname.slice(SCOPE.pathname.length) : "";
}

worker.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  const ours = request.method === "GET" && url.origin === SCOPE.origin && url.pathname.startsWith(SCOPE.pathname);
  const path = pathOf(url);
  if (!ours || path === "sw.js" || path.startsWith("api/")) return;
  if (request.mode === "navigate") event.respondWith(answerPage(request, url, path));
  else if (HOLDERS.has(path)) event.respondWith(answerFile(request, path));
});

/** The saved answer for a path, query and hash ignored. @param {string} path @returns {Promise<Response | undefined>} */
async function saved(path) {
  for (const language of HOLDERS.get(path) ?? []) {
    try {
      const cache = await wholeCopy(language);
      const response = await cache?.match(address(path), { ignoreVary: true });
      if (response) return response;
    } catch {
      opened.delete(language); // the phone took the storage away while this worker was awake
    }
  }
  return undefined;
}

/** @param {Request} request @param {string} path */
async function answerFile(request, path) {
  const response = await saved(path);
  if (!response) return fetch(request);
  const range = request.headers.get("range");
  return range ? partOf(response, range) : response;
}

/** Byte ranges, which Safari asks of every sound. @param {Response} response @param {string} range */
async function partOf(response, range) {
  const asked = /^bytes=(\d*)-(\d*)$/.exec(range.trim());
  if (!asked || (asked[1] === "" && asked[2] === "")) return response; // several ranges: the whole file is a right answer
  const bytes = await response.arrayBuffer();
  const total = bytes.byteLength;
  const first = asked[1] === "" ? Math.max(0, total - Number(asked[2])) : Number(asked[1]);
  const last = asked[1] === "" || asked[2] === "" ? total - 1 : Math.min(Number(asked[2]), total - 1);
  const headers = new Headers(response.headers);
  if (first > last) {
    headers.set("Content-Range", `bytes */${total}`);
    return new Response(null, { status: 416, headers });
  }
  headers.set("Content-Range", `bytes ${first}-${last}/${total}`);
  headers.set("Content-Length", String(last - first + 1));
  return new Response(bytes.slice(first, last + 1), { status: 206, headers });
}

/** @param {Request} request @param {URL} url @param {string} path */
async function answerPage(request, url, path) {
  const page = await saved(path);
  if (page) return page;
  const final = await finalPath(path);
  if (final !== null) return Response.redirect(address(final) + url.search, 302);
  try {
    return await inTime(fetch(request));
  } catch {
    return (await notSaved(path)) ?? Response.error();
  }
}

/** The saved page that is meant by an address as people type it: "", "en/help" or "en/help/index.html". @param {string} path */
async function finalPath(path) {
  const meant = path.replace(/(^|\/)index\.html$/, "$1");
  if (meant === "") {
    const languages = await savedLanguages();
    const preferred = navigator.languages.map((tag) => tag.toLowerCase().split("-")[0]);
    const chosen = preferred.find((language) => languages.includes(language)) ?? languages[0];
    return chosen ? `${chosen}/` : null;
  }
  const final = meant.endsWith("/") ? meant : `${meant}/`;
  return final !== path && (await saved(final)) ? final : null;
}

/** @param {Promise<Response>} answer @throws {Error} when it takes too long */
function inTime(answer) {
  const late = new Promise((_, reject) => {
    setTimeout(() => reject(new Error("too slow")), PAGE_PATIENCE);
  });
  return /** @type {Promise<Response>} */ (Promise.race([answer, late]));
}

/** The page "not saved on this phone", in the language of the address where that is saved. @param {string} path */
async function notSaved(path) {
  const languages = await savedLanguages();
  const language = languages.find((one) => path.startsWith(`${one}/`)) ?? languages[0];
  const page = await saved(`${language}/offline/`);
  if (!page) return null;
  // It lies two folders deep but answers for any address: its links must hold from there.
  const root = SCOPE.pathname.replaceAll("&", "&amp;");
  const text = (await page.text()).replaceAll('="../../', `="${root}`);
  const headers = new Headers(page.headers);
  headers.set("Cache-Control", "no-store");
  return new Response(text, { status: 503, headers });
}

// ---- messages from pages

/** What this worker holds, without reading it. */
async function about() {
  const { release, dated, news } = BUNDLE;
  return { type: "about", release, dated, news, languages: await savedLanguages() };
}

/** What can be read back right now. @param {{language?: string}} message */
async function state({ language = BUNDLE.languages[0] }) {
  const files = filesOf(language);
  const missing = (await wrongFiles(language)).map(([path]) => path);
  const whole = Boolean(await wholeCopy(language));
  const known = BUNDLE.languages.includes(language);
  return {
    type: "state",
    release: BUNDLE.release,
    dated: BUNDLE.dated,
    language,
    known,
    whole,
    complete: known && whole && missing.length === 0,
    missing,
    files: files.length,
  };
}

/** Fetches what is missing from a language's copy, then reads all of it back. @param {{language?: string}} message */
async function mend(message) {
  const { language = BUNDLE.languages[0] } = message;
  if (!BUNDLE.languages.includes(language)) return state(message);
  try {
    await save([language]);
    return await state(message);
  } catch (error) {
    return tellFailure(error);
  }
}

/** The person accepts this release: it takes over if its copies are whole, now or after mending. */
async function takeOver() {
  try {
    await save(await languagesToSave());
  } catch (error) {
    return tellFailure(error);
  }
  await worker.skipWaiting();
  return about();
}

/** @type {Record<string, (message: {language?: string}) => Promise<object>>} */
const JOBS = { about, state, heal: mend, "save-language": mend, "take-over": takeOver };

worker.addEventListener("message", (event) => {
  const job = JOBS[event.data?.type];
  const [port] = event.ports;
  if (!job) return;
  const failed = () => ({ type: "no-storage" });
  event.waitUntil(job(event.data).catch(failed).then((reply) => port?.postMessage(reply)));
});
