/** What the parts of the job card make their elements with. */

import { fill } from "./figure-paint.js";
import { draw, made } from "./made.js";

/** @typedef {Record<string, string>} Words */

/** As kit.html draws them. @type {Record<string, string[]>} */
const ICONS = { alert: ["M12 3 22 21H2Z", "M12 9v6M12 17.5v.5"], onward: ["m9 4 8 8-8 8"] };

let named = 0;
/** @type {WeakMap<Element, string>} what an element was painted from */
const painted = new WeakMap();

/** An id that no other element of the page has. @param {string} name */
export function newName(name) {
  named += 1;
  return `${name}-${named}`;
}

/** A field with its label and, below, a line for what is wrong. @param {string} label @param {HTMLInputElement | HTMLTextAreaElement} field @param {...Node} beside */
export function labelled(label, field, ...beside) {
  field.id ||= newName("card-field");
  return made("div", { class: "card-field" }, made("label", { for: field.id }, label), made("div", { class: "card-typed" }, field, ...beside));
}

/** A fold that starts shut. @param {string} title @param {...Node} inside */
export function fold(title, ...inside) {
  return made("details", { class: "fold card-fold" }, made("summary", {}, title), ...inside);
}

/**
 * Paint an element anew where what it shows has changed, and leave the focus where it was: on the element of the same `data-key`,
 * else on `otherwise`.
 * @param {HTMLElement} element
 * @param {unknown} from  all that the painting looks at
 * @param {() => (Node | string | null)[]} make
 * @param {HTMLElement} [otherwise]
 */
export function renew(element, from, make, otherwise = element) {
  const text = JSON.stringify(from);
  if (painted.get(element) === text) return;
  painted.set(element, text);
  const active = /** @type {HTMLElement | null} */ (element.contains(document.activeElement) ? document.activeElement : null);
  element.replaceChildren(...make().filter((child) => child !== null));
  if (!active || active === element) return;
  const same = active.dataset.key && /** @type {HTMLElement | null} */ (element.querySelector(`[data-key="${CSS.escape(active.dataset.key)}"]`));
  focusOn(same || otherwise);
}

/** Set an attribute, where it is not so already. @param {HTMLElement} element @param {string} name @param {unknown} value */
export function give(element, name, value) {
  if (element.getAttribute(name) !== String(value)) element.setAttribute(name, String(value));
}

/** @param {HTMLElement} element  one that takes no focus by itself gets it all the same */
export function focusOn(element) {
  if (element.tabIndex < 0 && !element.hasAttribute("tabindex")) element.tabIndex = -1;
  element.focus({ preventScroll: true });
}

/** A sentence of content/words with its fields. @param {Words} words @param {string} key @param {Record<string, string | number>} [fields] */
export function say(words, key, fields = {}) {
  return fill(words[key], Object.fromEntries(Object.entries(fields).map(([name, value]) => [name, String(value)])));
}

/** The panel of a signal word, as kit.html makes it. @param {string} signal @param {Words} words */
export function signalPanel(signal, words) {
  return made("b", { class: `signal signal-${signal.toLowerCase()}` }, signal === "NOTICE" ? null : icon("alert"), words[`signal_word_${signal}`]);
}

/** @param {string} name */
export function icon(name) {
  const given = { class: "icon", viewBox: "0 0 24 24", width: "24", height: "24", "aria-hidden": "true", focusable: "false" };
  return draw("svg", given, ...ICONS[name].map((d) => draw("path", { d })));
}

/** A text cut behind a word, for where there is little room; the whole of it stands elsewhere. @param {string} text @param {number} most */
export function shortened(text, most) {
  if (text.length <= most) return text;
  const cut = text.slice(0, most);
  return `${cut.slice(0, Math.max(cut.lastIndexOf(" "), most / 2))} …`;
}

/**
 * A list of things, each painted by itself: what is being typed or focused in one outlives a change of another.
 * @template {{id: string}} T
 * @param {HTMLElement} list
 * @param {T[]} things
 * @param {(thing: T) => (Node | string | null)[]} make
 * @param {HTMLElement} [otherwise]  gets the focus when the thing that had it goes
 */
export function renewEach(list, things, make, otherwise = list) {
  const old = new Map(/** @type {HTMLElement[]} */ ([...list.children]).map((item) => [item.dataset.id, item]));
  const wanted = things.map((thing) => {
    const item = old.get(thing.id) ?? made("li", { "data-id": thing.id });
    renew(item, thing, () => make(thing), otherwise);
    return item;
  });
  const stale = [...list.children].filter((item) => !wanted.includes(/** @type {HTMLElement} */ (item)));
  const isLost = stale.some((item) => item.contains(document.activeElement));
  stale.forEach((item) => item.remove());
  // Only what stands in the wrong place is moved: moving takes the focus away.
  wanted.forEach((item, n) => list.children[n] !== item && list.insertBefore(item, list.children[n] ?? null));
  list.hidden = !wanted.length;
  if (isLost) focusOn(otherwise);
}
