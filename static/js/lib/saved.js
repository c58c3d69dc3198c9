/**
 * Whether this site is kept on the phone, as the worker finds by reading its copy back. No DOM.
 * Never from a list of cache names, from `onLine` or from something noted earlier: those stay true when the files are gone.
 *
 * @typedef {object} SavedState
 * @property {"checking"|"saving"|"saved"|"unsaved"|"damaged"|"impossible"|"retired"} kind
 * @property {number} [done]  saving: files that have arrived
 * @property {number} [of]    saving, damaged: files wanted, or in the copy
 * @property {number} [missing]  damaged: files that cannot be read back
 * @property {string} [release]  saved
 * @property {string} [dated]    saved: ISO date of the content, "" when unknown
 * @property {string} [file]     unsaved: the file that did not arrive, "" when that is not known
 * @property {string} [why]      unsaved: last part of a words key `offline_why_…`
 * @property {number} [status]   unsaved: HTTP status where `why` is "status"
 */

import { activeWorker, ask, connect, workerContainer } from "./worker-link.js";

/** Longer than a worker may run on one event (5 minutes), so that the answer is the worker's. */
const MEND_LIMIT_MS = 330000;

/**
 * Looks, mends what it can, and reports each change.
 * @param {string} root      absolute address of the site's root
 * @param {string} language  language of the page that asks
 * @param {(state: SavedState) => void} report
 * @returns {() => Promise<void>}  looks again; one look runs at a time
 */
export function watchSaved(root, language, report) {
  /** @type {SavedState} */
  let now = { kind: "checking" };
  const set = (/** @type {SavedState} */ state) => report((now = state));
  listen(() => now, set);
  /** @type {Promise<void> | null} */
  let looking = null;
  const look = () => {
    looking ??= lookOnce(root, language, () => now, set).finally(() => (looking = null));
    return looking;
  };
  set(now);
  void look();
  return look;
}

/** @param {string} root @param {string} language @param {() => SavedState} now @param {(state: SavedState) => void} set */
async function lookOnce(root, language, now, set) {
  const link = await connect(root);
  if ("problem" in link) {
    return set(link.problem === "not_allowed" ? { kind: "impossible" } : unsaved("sw.js", link.problem));
  }
  const { active, installing, waiting } = link.registration;
  const worker = active ?? installing ?? waiting;
  if (!worker) return set(unsaved());
  if (!active) set({ kind: "saving", done: 0, of: 0 });
  if (await becomesActive(worker)) await readBack(worker, language, set);
  else if (now().kind === "saving") set(unsaved()); // thrown away without a word of its own
}

/** The answer to "is it saved", after one attempt to mend. @param {ServiceWorker} worker @param {string} language @param {(state: SavedState) => void} set */
async function readBack(worker, language, set) {
  const found = await ask(worker, { type: "state", language });
  if (found?.type === "retired") return set({ kind: "retired" });
  if (found?.type === "no-storage") return set({ kind: "impossible" });
  if (found?.type !== "state") return set(unsaved("", "no_reply"));
  if (found.complete) return set(saved(found));
  set(found.whole ? damaged(found) : { kind: "saving", done: 0, of: found.missing.length });
  const mended = await ask(worker, { type: found.whole ? "heal" : "save-language", language }, MEND_LIMIT_MS);
  if (mended?.complete) return set(saved(mended));
  set(found.whole ? damaged(found) : unsaved(mended?.file, mended?.why, mended?.status));
}

/**
 * Progress and failures that a worker tells about on its own. Those of a release that is fetched behind a saved one do
 * not count: what is saved stays saved.
 * @param {() => SavedState} now
 * @param {(state: SavedState) => void} set
 */
function listen(now, set) {
  workerContainer()?.addEventListener?.("message", ({ data, source }) => {
    const active = activeWorker();
    const { kind } = now();
    if (data?.type === "retired") set({ kind: "retired" });
    if (active && active !== source) return;
    // A late message of progress must not cover the failure that came before it.
    if (data?.type === "saving" && (kind === "saving" || kind === "damaged")) {
      set({ kind: "saving", done: data.done, of: data.of });
    }
    if (data?.type === "save-failed" && !active) set(unsaved(data.file, data.why, data.status));
  });
}

/**
 * Whether a worker gets through its save: false when the browser throws it away. "activating" is enough, since the copy
 * is written by then; a page that WebKitGTK 2.50 loads in that moment is never told of the end of it.
 * @param {ServiceWorker} worker
 * @returns {Promise<boolean>}
 */
function becomesActive(worker) {
  return new Promise((resolve) => {
    const look = () => {
      if (worker.state === "activating" || worker.state === "activated") resolve(true);
      if (worker.state === "redundant") resolve(false);
    };
    worker.addEventListener("statechange", look);
    look();
  });
}

/** @param {{release: string, dated: string}} found @returns {SavedState} */
function saved({ release, dated }) {
  return { kind: "saved", release, dated };
}

/** @param {{missing: string[], files: number}} found @returns {SavedState} */
function damaged({ missing, files }) {
  return { kind: "damaged", missing: missing.length, of: files };
}

/** @returns {SavedState} */
function unsaved(file = "", why = "unknown", status = 0) {
  return { kind: "unsaved", file, why, status };
}
