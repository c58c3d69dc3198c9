/** What is pinned and what was used last, as lists on the start page and under the empty finder. Nothing kept: nothing shown. */

import { pause } from "../lib/idle.js";

const LAST = 4;

/** @param {HTMLElement} element @param {import("../main.js").Options} options */
export function start(element, { words, root }) {
  void pause().then(() => fillIn(element, words, root)).catch(() => {});
}

/** @param {HTMLElement} element @param {Record<string, string>} words @param {string} root */
async function fillIn(element, words, root) {
  const { lang } = document.documentElement;
  const store = await import("../lib/store.js");
  const [pins, used] = [await store.pinned(), await store.lastUsed(LAST + 20)];
  if (!pins.length && !used.length) return;
  const { FINDER } = await import(`../finder.${lang}.js`);
  const titles = titlesOf(FINDER);
  const known = (/** @type {string} */ address) => titles.has(address); // an older version may have had other pages
  const base = `${root}${lang}/`;
  const told = document.createElement("div");
  told.className = "undo";
  told.setAttribute("role", "status");
  const last = used.filter((address) => known(address) && !pins.includes(address)).slice(0, LAST);
  const makePin = (/** @type {string} */ address) => pinOf(address, titles.get(address) ?? "", base, words, store, told);
  const lists = [
    listOf("kept-pins", words.finder_pinned, pins.filter(known).map(makePin)),
    told,
    listOf("kept-used", words.finder_used, last.map((address) => itemOf(address, titles.get(address) ?? "", base))),
  ];
  element.replaceChildren(...lists.filter((list) => list !== null));
}

/** Address of each page that can be kept -> its title. @param {import("../lib/ranking.js").Data} data @returns {Map<string, string>} */
function titlesOf(data) {
  const folders = /** @type {const} */ (["figures", "cautions", "tables"]);
  const pages = folders.flatMap((folder) => data[folder].map(([id, title]) => /** @type {[string, string]} */ ([`${folder}/${id}/`, title])));
  const jobs = data.jobs.map(([id, title]) => /** @type {[string, string]} */ ([`job/${id}/`, title]));
  return new Map([...pages, ...jobs, ...data.help.map(([path, title]) => /** @type {[string, string]} */ ([path, title]))]);
}

/** @param {string} name @param {string} title @param {HTMLElement[]} items @returns {HTMLElement | null} */
function listOf(name, title, items) {
  if (!items.length) return null;
  const [section, heading, list] = ["section", "h2", "ul"].map((tag) => document.createElement(tag));
  heading.id = name;
  heading.textContent = title;
  section.setAttribute("aria-labelledby", name);
  list.className = `links ${name}`;
  list.append(...items);
  section.append(heading, list);
  return section;
}

/** @param {string} address @param {string} title @param {string} base */
function itemOf(address, title, base) {
  const [item, link, bold] = ["li", "a", "b"].map((tag) => document.createElement(tag));
  link.className = "link";
  /** @type {HTMLAnchorElement} */ (link).href = base + address;
  bold.textContent = title;
  link.append(bold);
  item.append(link);
  return item;
}

/**
 * A pinned page with the control that takes the pin out, which can be undone.
 * @param {string} address
 * @param {string} title
 * @param {string} base
 * @param {Record<string, string>} words
 * @param {typeof import("../lib/store.js")} store
 * @param {HTMLElement} told
 */
function pinOf(address, title, base, words, store, told) {
  const item = itemOf(address, title, base);
  const off = document.createElement("button");
  off.type = "button";
  off.textContent = words.finder_pin_off_short;
  off.setAttribute("aria-label", words.finder_pin_off.replace("{title}", () => title));
  off.addEventListener("click", async () => {
    const isKept = await store.pin(address, false).then(({ kept }) => kept, () => false);
    if (!isKept) {
      tell(told, words.finder_not_kept);
      return;
    }
    item.hidden = true;
    const undo = tell(told, words.finder_pin_gone.replace("{title}", () => title), words.finder_undo);
    undo?.addEventListener("click", async () => {
      await store.pin(address, true);
      item.hidden = false;
      told.replaceChildren();
      off.focus();
    });
    undo?.focus();
  });
  item.append(off);
  return item;
}

/** @param {HTMLElement} told @param {string} text @param {string} [act]  what stands on a button beside the text @returns {HTMLButtonElement | null} */
function tell(told, text, act = "") {
  const [line, button] = [document.createElement("p"), document.createElement("button")];
  line.textContent = text;
  button.type = "button";
  button.textContent = act;
  told.replaceChildren(...(act ? [line, button] : [line]));
  return act ? button : null;
}
