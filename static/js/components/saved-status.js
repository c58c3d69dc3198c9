/**
 * The status line: is this site kept on the phone, and from when is what is kept.
 * The element is a live region (`role="status"`); `data-state` carries the kind for the style sheet.
 */

import { watchSaved } from "../lib/saved.js";

/** @typedef {import("../lib/saved.js").SavedState} SavedState */
/** @typedef {Record<string, string>} Words */

/**
 * @param {HTMLElement} element
 * @param {{words: Words, root: string}} options  root: way from this page to the site's root, as "../../"
 */
export function start(element, { words, root }) {
  const language = document.documentElement.lang;
  const show = (/** @type {SavedState} */ state) => paint(element, words, language, state);
  const look = watchSaved(new URL(root, location.href).href, language, show);
  window.addEventListener("online", look);
  window.addEventListener("pageshow", (event) => event.persisted && look());
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && look());
}

/** @param {HTMLElement} element @param {Words} words @param {string} language @param {SavedState} state */
function paint(element, words, language, state) {
  element.dataset.state = state.kind;
  // A screen reader hears the outcome, not each of a hundred files.
  element.setAttribute("aria-busy", String(state.kind === "checking" || state.kind === "saving"));
  const lines = [line("saved-text", sentence(words, state))];
  if (state.kind === "saved") {
    lines.push(line("saved-version", fill(words.offline_version, { date: dateOf(state, language) })));
  }
  element.replaceChildren(lines[0], ...lines.slice(1).flatMap((one) => [" ", one]));
}

/** @param {string} name @param {string} text */
function line(name, text) {
  const span = document.createElement("span");
  span.className = name;
  span.textContent = text;
  return span;
}

/** @param {Words} words @param {SavedState} state @returns {string} */
export function sentence(words, state) {
  if (state.kind === "unsaved") return unsaved(words, state);
  if (state.kind === "saving" && !state.of) return words.offline_saving_begins;
  return fill(words[`offline_${state.kind}`], { done: state.done, of: state.of, missing: state.missing });
}

/** @param {Words} words @param {SavedState} state */
function unsaved(words, { file = "", why = "unknown", status }) {
  if (why === "no_room") return words.offline_no_room;
  const reason = fill(words[`offline_why_${why}`] ?? words.offline_why_unknown, { status });
  return fill(file ? words.offline_unsaved : words.offline_unsaved_somehow, { file, why: reason });
}

/** @param {SavedState} state @param {string} language  the content's day in words, else the release's own name */
function dateOf({ dated, release = "" }, language) {
  if (!dated) return release;
  return new Intl.DateTimeFormat(language, { dateStyle: "medium", timeZone: "UTC" }).format(new Date(dated));
}

/** @param {string} text @param {Record<string, string | number | undefined>} fields */
function fill(text, fields) {
  return text.replace(/\{(\w+)\}/g, (whole, name) => String(fields[name] ?? whole));
}
