/**
 * Paints a View (see lib/present.js) into a Figure's page: the answer slab, the rows, and what stands below.
 * It only writes; what was typed is read in sheet.js.
 */

/** @typedef {import("../lib/present.js").View} View */
/** @typedef {Record<string, string>} Words */
/**
 * One row's elements.
 * @typedef {object} Row
 * @property {HTMLElement} element
 * @property {HTMLInputElement | HTMLSelectElement} control
 * @property {HTMLElement | null} unit
 * @property {HTMLElement} label
 * @property {HTMLElement} note
 * @property {HTMLElement} echo
 * @property {HTMLElement} problem
 */

const MATHML = "http://www.w3.org/1998/Math/MathML";

/** @type {WeakMap<HTMLElement, Map<string, HTMLElement>>} parts that were looked for before */
const parts = new WeakMap();

/** @param {HTMLElement} element @param {string} name @returns {HTMLElement} */
export function part(element, name) {
  const known = parts.get(element) ?? new Map();
  const one = known.get(name) ?? /** @type {HTMLElement} */ (element.querySelector(`[data-part="${name}"]`));
  if (one) parts.set(element, known.set(name, one));
  return one;
}

/** @param {HTMLElement} element  the row @returns {Row} */
export function rowOf(element) {
  const one = (/** @type {string} */ selector) => /** @type {HTMLElement} */ (element.querySelector(selector));
  return {
    element,
    control: /** @type {HTMLInputElement | HTMLSelectElement} */ (one(".given-value > :is(input, select, textarea)")),
    unit: one(".given-unit"),
    label: one(".given-label"),
    note: one(".given-note"),
    echo: one(".given-echo"),
    problem: one(".given-problem"),
  };
}

/** @param {HTMLElement} element @param {View} view @param {string} lead  name of the answer that stands first, '' for the Figure's own @param {Words} words @param {boolean} isQuick  whether how far off it may be follows later */
export function paintAnswer(element, view, lead, words, isQuick) {
  const isOk = view.state === "ok";
  const main = mainAnswer(view, lead);
  const at = (/** @type {string} */ name) => part(element, name);
  if (at("slab").dataset.state !== view.state) at("slab").dataset.state = view.state;
  if (main) write(at("what"), view.found ? fill(words.figure_found_for, { label: main.label }) : main.label);
  hide(at("answer"), !isOk || !main);
  write(at("number"), main ? main.words || main.number : "");
  at("number").classList.toggle("said", Boolean(main?.words));
  write(at("unit"), main?.unit ?? "");
  show(at("sort"), main?.sort ?? "");
  later(at("plus-minus"), main?.plus_minus ? words.figure_plus_minus.replace("{amount}", main.plus_minus) : "", isQuick && isOk);
  quantities(at("others"), main?.others ?? []);
  paintProblems(at("problems"), view, words);
  paintVerdict(at("verdict"), view.verdict, words);
  show(at("estimate"), view.estimate);
  later(at("spread"), view.spread, isQuick && isOk);
  list(at("warnings"), view.warnings, (text) => made("li", text));
}

/** @param {HTMLElement} element @param {View} view */
export function paintRemedies(element, view) {
  const remedies = part(element, "remedies");
  remedies.classList.remove("is-coming");
  list(remedies, view.remedies, (text) => made("li", text));
}

/** What stands largest: the input found while solving, else the answer of that name or the Figure's first; undefined while there is none. @param {View} view @param {string} lead */
export function mainAnswer(view, lead) {
  const answers = /** @type {View[]} */ (view.answers);
  return view.found ?? answers.find(({ name }) => name === lead) ?? answers.find(({ first }) => first);
}

/** @param {HTMLElement} element @param {View} view @param {Words} words */
function paintProblems(element, view, words) {
  const others = view.rows.filter((/** @type {View} */ row) => row.problem && row.name !== view.about);
  const told = others.map((/** @type {View} */ { name, label, problem }) => ({ name, text: fill(words.figure_line, { label, value: problem }) }));
  const all = view.state === "ok" ? [] : [{ name: view.about, text: view.sentence }, ...told];
  list(element, all, ({ name, text }) => {
    if (!name) return made("li", text);
    const link = /** @type {HTMLAnchorElement} */ (made("a", text));
    link.href = `#row-${name}`;
    return made("li", link);
  });
}

/** @param {HTMLElement} element @param {{level: string, text: string} | null} verdict @param {Words} words */
function paintVerdict(element, verdict, words) {
  if (!isNews(verdict, element)) return;
  element.hidden = !verdict;
  const says = element.querySelector("span");
  if (verdict && says && element.dataset.level === verdict.level) return write(says, verdict.text);
  element.dataset.level = verdict?.level ?? "";
  element.replaceChildren(...(verdict ? [made("b", words[`figure_verdict_${verdict.level}`]), " ", made("span", verdict.text)] : []));
}

/** Of what can be folded away, what lies open. @param {HTMLElement} element @param {View} view @param {Words} words */
export function paintOpen(element, view, words) {
  if (part(element, "every-unit").closest("details")?.open) paintEveryUnit(element, view, words);
  for (const symbol of element.querySelectorAll("[open] > .step .filled [data-symbol]")) paintSymbol(symbol, view);
}

/** All that can be folded away. @param {HTMLElement} element @param {View} view @param {Words} words */
export function paintFolded(element, view, words) {
  paintEveryUnit(element, view, words);
  for (const symbol of element.querySelectorAll(".filled [data-symbol]")) paintSymbol(symbol, view);
}

/** @param {HTMLElement} element @param {View} view @param {Words} words */
function paintEveryUnit(element, view, words) {
  const answers = [...(view.found ? [view.found] : []), ...view.answers].filter((answer) => answer.number);
  const rows = view.rows.filter((/** @type {View} */ row) => row.echo.length && !row.is_unknown);
  const listed = [...answers, ...rows.map((/** @type {View} */ row) => ({ ...row, others: row.echo, full: "" }))];
  part(element, "every-unit").replaceChildren(...listed.flatMap((item) => everyUnit(item, words)));
}

/** @param {Element} symbol @param {View} view */
function paintSymbol(symbol, view) {
  const name = symbol.getAttribute("data-symbol") ?? "";
  write(symbol, view.numbers[name] ?? symbol.getAttribute("data-own") ?? name);
}

/** The server put numbers into a copy of each formula; a fresh copy keeps the symbols' names, so that numbers can follow. @param {HTMLElement} element */
export function prepareWorking(element) {
  for (const step of element.querySelectorAll(".step")) {
    const [plain, filled] = step.querySelectorAll(".formula");
    const copy = /** @type {Element} */ (plain.cloneNode(true));
    for (const symbol of copy.querySelectorAll("[data-symbol]")) {
      const number = document.createElementNS(MATHML, "mtext");
      number.setAttribute("data-symbol", symbol.getAttribute("data-symbol") ?? "");
      number.setAttribute("data-own", symbol.textContent ?? "");
      symbol.replaceWith(number);
    }
    filled.replaceChildren(...copy.childNodes);
  }
}

/** @param {View} answer  or a row, shaped like one @param {Words} words */
function everyUnit(answer, words) {
  const all = made("ul", "", "every");
  quantities(all, [answer, ...answer.others]);
  if (answer.full) {
    const full = made("li", made("b", answer.full));
    full.append(` (${words.figure_every_unit_full})`);
    all.append(full);
  }
  return [made("h3", answer.label), all];
}

/**
 * @param {Row} row
 * @param {View} view
 * @param {View} own  the view's part for this row
 * @param {{unit: string, raw: string | undefined, isTyped: boolean}} field  symbol beside the field; what the reader typed in
 *   it; whether it is being typed in, so that its text is the reader's own
 */
export function paintRow(row, view, own, { unit, raw, isTyped }) {
  const { element, control } = row;
  const problem = own.problem || (view.about === own.name ? view.sentence : "");
  element.classList.toggle("has-problem", problem !== "");
  element.classList.toggle("is-unknown", own.is_unknown);
  if (problem) control.setAttribute("aria-invalid", "true");
  else control.removeAttribute("aria-invalid");
  show(row.problem, problem);
  listed(row.echo, own.echo, (/** @type {Quantity} */ { number, unit: symbol }) => [`${number} ${symbol}`], ([text]) => made("span", text));
  if (!isTyped) control.value = row.unit === null || own.type === "points" ? own.text : fieldText(own, raw);
  if (control instanceof HTMLSelectElement) return;
  control.readOnly = own.is_unknown;
  widen(control, isTyped);
  if (row.unit) {
    write(row.unit, unit);
    row.unit.hidden = !unit || own.type === "points" || hasOwnUnit(control.value, own);
  }
}

/** A field is as wide as its number. While one types it only grows: a row that moves with each key is hard to read, and slow to lay out. @param {HTMLInputElement} field @param {boolean} isTyped */
function widen(field, isTyped) {
  const before = Number(field.style.getPropertyValue("--long"));
  const long = Math.max(4, field.value.length, isTyped ? before : 0);
  if (long !== before) field.style.setProperty("--long", String(long));
}

/** What a field shows when nobody types in it: the number, its unit beside it; where it cannot be read, all that was typed. @param {View} own @param {string | undefined} raw */
function fieldText(own, raw) {
  return own.problem ? raw ?? own.text : own.number;
}

/** Whether the unit stands in the field itself, typed behind the number. @param {string} value @param {View} own */
function hasOwnUnit(value, own) {
  return value.trim() !== own.number.trim() && /\p{L}|["%°″′]/u.test(value);
}

/** @typedef {{number: string, unit: string}} Quantity */

/** @param {HTMLElement} element  of a list, hidden when there is nothing to list @param {Quantity[]} items */
export function quantities(element, items) {
  listed(element, items, ({ number, unit }) => [number, ` ${unit}`], ([number, unit]) => {
    const item = made("li", made("b", number));
    item.append(unit);
    return item;
  });
}

/**
 * Texts in a row. Where as many stand there already, only those that differ are written into what stands there, the server's too:
 * what is made anew is styled and laid out anew.
 * @template T
 * @param {HTMLElement} element  hidden when there is nothing to list
 * @param {T[]} items
 * @param {(item: T) => string[]} texts  of each item, one for each node in its element
 * @param {(texts: string[]) => HTMLElement} draw
 */
function listed(element, items, texts, draw) {
  hide(element, items.length === 0);
  const all = items.map(texts);
  const old = element.children;
  if (old.length !== all.length || all.some((one, n) => one.length !== old[n].childNodes.length)) {
    // A space between the pieces: they are read aloud, copied and broken into lines as words.
    return element.replaceChildren(...all.flatMap((one) => [draw(one), " "]));
  }
  all.forEach((one, n) => one.forEach((text, m) => write(old[n].childNodes[m], text)));
}

/**
 * @template T
 * @param {HTMLElement} element  hidden when there is nothing to list
 * @param {T[]} items
 * @param {(item: T) => HTMLElement} draw
 */
function list(element, items, draw) {
  hide(element, items.length === 0);
  const isFromServer = !painted.has(element);
  if (!isNews(items, element)) return;
  // A space between the pieces: they are read aloud, copied and broken into lines as words.
  const pieces = items.flatMap((item) => [draw(item), " "]);
  if (!isFromServer || !shows(element, pieces)) element.replaceChildren(...pieces);
}

/** Whether an element shows just these pieces, as it does when the server made it: what is written anew is laid out anew. @param {Element} element @param {(HTMLElement | string)[]} pieces */
export function shows(element, pieces) {
  const text = pieces.map((piece) => (typeof piece === "string" ? piece : piece.textContent)).join("");
  return squeezed(element.textContent ?? "") === squeezed(text);
}

/** @param {string} text */
export function squeezed(text) {
  return text.replace(/\s+/g, " ").trim();
}

/** @type {WeakMap<Element, string>} what was last painted into an element that is costly to paint */
const painted = new WeakMap();

/** Whether an element shows something else so far; from now on it counts as showing `what`. @param {any} what @param {Element | undefined} element */
function isNews(what, element) {
  const text = JSON.stringify(what);
  const is = !element || painted.get(element) !== text;
  if (element) painted.set(element, text);
  return is;
}

/** @param {Node} element @param {string} text  unchanged text is not written again, and changed text into the node that holds it: no needless work on a slow phone */
export function write(element, text) {
  if (element.textContent === text) return;
  const only = element.firstChild;
  if (text && only instanceof Text && only === element.lastChild) only.data = text;
  else element.textContent = text;
}

/** @param {HTMLElement} element @param {boolean} isHidden */
export function hide(element, isHidden) {
  if (element.hidden !== isHidden) element.hidden = isHidden;
}

/** @param {HTMLElement} element @param {string} text  '' hides it */
function show(element, text) {
  write(element, text);
  hide(element, text === "");
}

/** While a text is still to come, the one before keeps its room unseen: what stands below must not jump at each key. @param {HTMLElement} element @param {string} text @param {boolean} isComing */
function later(element, text, isComing) {
  element.classList.toggle("is-coming", isComing);
  if (!isComing) show(element, text);
}

/** @param {string} text @param {Record<string, string>} fields */
export function fill(text, fields) {
  return text.replace(/\{(\w+)\}/g, (whole, name) => fields[name] ?? whole);
}

/** @param {string} tag @param {string | Node} [inside] @param {string} [name]  class */
export function made(tag, inside = "", name = "") {
  const element = document.createElement(tag);
  element.append(inside);
  if (name) element.className = name;
  return element;
}
