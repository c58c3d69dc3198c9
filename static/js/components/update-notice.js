/**
 * The notice that a new release is ready. It waits for a tap, never stands there while something is being edited, and
 * reloads once. The element is an empty live region (`role="status"`); `data-changes` holds the address of the change list.
 */

import { watchUpdates } from "../lib/updates.js";

/** @typedef {Record<string, string>} Words */
/** @typedef {import("../lib/updates.js").Release} Release */

/** Which release this window was reloaded for, so that no fault of browser or host can make it reload twice. */
const RELOADED = "cowlside-reloaded-for";

/**
 * @param {HTMLElement} element
 * @param {{words: Words, root: string}} options  root: way from this page to the site's root, as "../../"
 */
export async function start(element, { words, root }) {
  const page = document.documentElement;
  const release = page.dataset.release ?? "";
  const show = notice(element);
  /** @type {Awaited<ReturnType<typeof watchUpdates>>} */
  let updates = null;
  const later = button(words.offline_update_later, () => show("", "", []));
  const reload = button(words.offline_old_page_reload, () => location.reload());
  const use = button(words.offline_update_use, async () => {
    show(words.offline_update_taking, "", []);
    if (!(await updates?.accept())) show(words.offline_update_failed, "", [later]);
  });
  const stale = () => show(words.offline_old_page, "", [reload]);
  greet(element.dataset.changes, release, words, show);
  updates = await watchUpdates(new URL(root, location.href).href, release, {
    ready: ({ news }) => show(words.offline_update_ready, news[page.lang] ?? "", [use, later]),
    withdrawn: () => show("", "", []),
    stale,
    taken: (accepted) => whenIdle(() => reloadOnce(accepted.release) || stale()),
  });
  if (updates) keepLooking(updates);
}

/** @param {{check: () => void, compare: () => Promise<void>}} updates */
function keepLooking({ check, compare }) {
  check();
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && check());
  window.addEventListener("pageshow", (event) => event.persisted && compare());
}

/** @param {HTMLElement} element @returns {(text: string, more: string, controls: HTMLElement[]) => void} an empty text clears it */
function notice(element) {
  let wanted = false;
  const settle = () => (element.hidden = !wanted || isBusy());
  new MutationObserver(settle).observe(document.documentElement, { attributeFilter: ["data-busy"] });
  settle();
  return (text, more, controls) => {
    wanted = text !== "";
    element.replaceChildren(...[text, more].filter(Boolean).map(paragraph), ...controls);
    settle();
  };
}

/** After an accepted update: what changed. @param {string | undefined} changes @param {string} release @param {Words} words @param {ReturnType<typeof notice>} show */
function greet(changes, release, words, show) {
  if (!release || recall() !== release) return;
  remember(`${release} told`);
  const link = document.createElement("a");
  link.href = changes ?? "";
  link.textContent = words.offline_changes;
  show(words.offline_updated, "", changes ? [link] : []);
}

/** @param {string} release @returns {boolean} false where this window was reloaded for it before: the next time is the person's */
function reloadOnce(release) {
  if (recall().split(" ")[0] === release) return false;
  remember(release);
  location.reload();
  return true;
}

/** @param {() => void} act  runs as soon as nothing is being edited */
function whenIdle(act) {
  if (!isBusy()) return act();
  const watcher = new MutationObserver(() => {
    if (isBusy()) return;
    watcher.disconnect();
    act();
  });
  watcher.observe(document.documentElement, { attributeFilter: ["data-busy"] });
}

/** A number being edited, an open job step and a ringing timer each say so here. */
function isBusy() {
  return Boolean(document.documentElement.dataset.busy);
}

/** @param {string} text */
function paragraph(text) {
  const made = document.createElement("p");
  made.textContent = text;
  return made;
}

/** @param {string} text @param {() => void} act */
function button(text, act) {
  const made = document.createElement("button");
  made.type = "button";
  made.textContent = text;
  made.addEventListener("click", act);
  return made;
}

function recall() {
  try {
    return sessionStorage.getItem(RELOADED) ?? "";
  } catch {
    return "";
  }
}

/** @param {string} value  kept for this window only; a window without storage reloads once a load anyway */
function remember(value) {
  try {
    sessionStorage.setItem(RELOADED, value);
  } catch {
    // nothing to do: `taken` is heard once for each tap
  }
}
