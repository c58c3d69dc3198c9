/**
 * The finder: a field that answers while it is typed in, on its own page and on the start page. Index and search come when it
 * is first used; until then, and where they do not come, the field is a form that the server answers.
 */

import { pause } from "../lib/idle.js";

/** @typedef {import("../lib/finding.js").Finding} Finding */
/** @typedef {{finding: Finding, paint: (text: string) => string}} Opened  paint: gives what is to be told aloud */

const SLICE_MS = 8; // of making the index between two pauses
const ADDRESS_MS = 400; // browsers allow a hundred changes of the address in half a minute
const TOLD_MS = 900; // a pause in the typing after which the result is told aloud

/** @param {HTMLElement} element @param {import("../main.js").Options} options */
export function start(element, { words, root }) {
  const field = /** @type {HTMLInputElement} */ (element.querySelector("input"));
  const part = (/** @type {string} */ name) => /** @type {HTMLElement} */ (element.querySelector(`[data-part=${name}]`));
  const rest = /** @type {HTMLElement | null} */ (document.querySelector("[data-part=rest]"));
  const [said, told, finds, go, clear] = ["says", "told", "finds", "go", "clear"].map(part);
  /** @type {Opened | null} */
  let opened = null;
  /** @type {Promise<Opened> | null} */
  let opening = null;
  let timers = [0, 0];

  const open = () => {
    opening ??= bring(element, words, root).then((all) => {
      element.dataset.ready = "";
      return (opened = all);
    });
    opening.catch(() => (opening = null)); // a signal may come back: the next key tries again
    return opening;
  };

  const show = () => {
    if (!opened) return;
    const aloud = opened.paint(field.value);
    finds.hidden = !field.value.trim();
    if (rest) rest.hidden = !finds.hidden;
    timers.forEach(clearTimeout);
    timers = [window.setTimeout(keepAddress, ADDRESS_MS), window.setTimeout(() => (told.textContent = aloud), TOLD_MS)];
  };

  const typed = () => {
    // One control beside the field: what is found opens by itself, so Find is only for asking the server.
    clear.hidden = !field.value;
    go.hidden = !clear.hidden;
    if (opened) return show();
    open().then(show, () => {
      [clear.hidden, go.hidden] = [true, false];
      finds.hidden = said.hidden = false;
      told.textContent = said.textContent = words.finder_failed;
    });
  };

  const keepAddress = () => {
    const address = new URL(location.href);
    if (field.value) address.searchParams.set("q", field.value);
    else address.searchParams.delete("q");
    if (address.href !== location.href) history.replaceState(history.state, "", address);
  };

  field.addEventListener("input", typed);
  field.addEventListener("focus", () => void open().catch(() => {}));
  clear.addEventListener("click", () => {
    field.value = "";
    field.focus();
    typed();
  });
  part("form").addEventListener("submit", (event) => {
    if (!opened) return; // the server answers
    event.preventDefault();
    show();
    keepAddress();
    linksOf(finds)[0]?.click();
  });
  element.addEventListener("click", (event) => {
    const link = /** @type {HTMLElement} */ (event.target).closest("a");
    if (!link) return;
    if (!link.dataset.ask || !opened) return keepAddress();
    event.preventDefault();
    field.value = link.dataset.ask;
    field.focus();
    typed();
  });
  element.addEventListener("keydown", (event) => walk(event, field, finds));

  const asked = new URLSearchParams(location.search).get("q") ?? "";
  if (!field.value) field.value = asked;
  if (element.dataset.atOnce !== undefined) field.focus();
  if (field.value) typed();
  else if (element.dataset.atOnce !== undefined) void pause().then(open).catch(() => {});
}

/**
 * Loads the search and makes its index, a little in each pause.
 * @param {HTMLElement} element
 * @param {Record<string, string>} words
 * @param {string} root
 * @returns {Promise<Opened>}
 */
async function bring(element, words, root) {
  const { lang } = document.documentElement;
  const [{ Finding }, { FINDER }, { UNITS }, { DECIMAL }, { painter }] = await Promise.all([
    import("../lib/finding.js"),
    import(`../finder.${lang}.js`),
    import("../units.js"),
    import(`../words.${lang}.js`),
    import("./finder-paint.js"),
  ]);
  const finding = new Finding(FINDER, UNITS, words, DECIMAL);
  for (let isWhole = false; !isWhole; await pause()) {
    const end = performance.now() + SLICE_MS;
    isWhole = finding.ranking.prepare(() => performance.now() > end);
  }
  const paint = painter(element, words, `${root}${lang}/`);
  return { finding, paint: (text) => paint(finding.answer(text)) };
}

/** Arrow keys go from the field into what is found and through it. @param {KeyboardEvent} event @param {HTMLElement} field @param {HTMLElement} finds */
function walk(event, field, finds) {
  const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
  if (!step || event.isComposing || event.altKey || event.ctrlKey || event.metaKey) return;
  const places = [field, ...linksOf(finds)];
  const to = places[places.indexOf(/** @type {HTMLElement} */ (document.activeElement)) + step];
  if (!to || finds.hidden) return;
  event.preventDefault();
  to.focus();
}

/** The links that are seen, in order. @param {HTMLElement} finds @returns {HTMLElement[]} */
function linksOf(finds) {
  const links = /** @type {NodeListOf<HTMLElement>} */ (finds.querySelectorAll("a"));
  return finds.hidden ? [] : [...links].filter((link) => !link.closest("[hidden]"));
}
