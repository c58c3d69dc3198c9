/**
 * Paints a View (see lib/present.js) into a Figure's page: the answer slab, the rows, and what stands below.
 * It only writes; what was typed is read in figure.js.
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
const SVG = "http://www.w3.org/2000/svg";

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

/** @param {HTMLElement} element @param {View} view @param {string} lead  name of the answer that stands first, '' for the Figure's own @param {Words} words */
export function paintAnswer(element, view, lead, words) {
  const isOk = view.state === "ok";
  const main = mainAnswer(view, lead);
  const at = (/** @type {string} */ name) => part(element, name);
  at("slab").dataset.state = view.state;
  if (main) write(at("what"), view.found ? fill(words.figure_found_for, { label: main.label }) : main.label);
  at("answer").hidden = !isOk || !main;
  write(at("number"), main ? main.words || main.number : "");
  at("number").classList.toggle("said", Boolean(main?.words));
  write(at("unit"), main?.unit ?? "");
  show(at("sort"), main?.sort ?? "");
  write(at("plus-minus"), main?.plus_minus ? words.figure_plus_minus.replace("{amount}", main.plus_minus) : "");
  list(at("others"), main?.others ?? [], quantity);
  paintProblems(at("problems"), view, words);
  paintVerdict(at("verdict"), view.verdict, words);
  show(at("estimate"), view.estimate);
  show(at("spread"), view.spread);
  list(at("warnings"), view.warnings, (text) => made("li", text));
  paintRemedies(element, view);
  paintBelow(element, view, main, words);
}

/** @param {HTMLElement} element @param {View} view */
export function paintRemedies(element, view) {
  list(part(element, "remedies"), view.remedies, (text) => made("li", text));
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
  element.dataset.level = verdict?.level ?? "";
  element.replaceChildren(...(verdict ? [made("b", words[`figure_verdict_${verdict.level}`]), " ", made("span", verdict.text)] : []));
}

/** @param {HTMLElement} element @param {View} view @param {View | undefined} main  the answer in the slab @param {Words} words */
function paintBelow(element, view, main, words) {
  const others = view.answers.filter((/** @type {View} */ answer) => answer !== main && !(view.found && answer.first));
  const further = part(element, "further");
  if (further) {
    const old = [...further.children];
    const rows = others.map((/** @type {View} */ answer, /** @type {number} */ n) => renewed(old[n], answer));
    if (rows.length !== old.length || rows.some((/** @type {Element} */ row, /** @type {number} */ n) => row !== old[n])) further.replaceChildren(...rows);
  }
  part(element, "further-section")?.toggleAttribute("hidden", !others.length);
  if (part(element, "every-unit").closest("details")?.open) paintEveryUnit(element, view, words);
  for (const symbol of element.querySelectorAll("[open] .filled [data-symbol]")) paintSymbol(symbol, view);
}

/** What lies folded away follows when the typing pauses; what is unfolded follows at once. @param {HTMLElement} element @param {View} view @param {Words} words */
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

/** The row of an answer: the one that stands there, if it shows the same. @param {Element | undefined} old @param {View} answer */
function renewed(old, answer) {
  const isFromServer = old && !painted.has(old);
  if (old && !isNews(answer, old)) return old;
  const fresh = furtherRow(answer);
  isNews(answer, fresh);
  return isFromServer && shows(old, [fresh]) ? old : fresh;
}

/** @param {View} answer */
function furtherRow(answer) {
  const row = made("div");
  row.className = "further-row";
  const title = made("h3", answer.label);
  if (answer.sort) title.append(" ", made("span", answer.sort, "sort"));
  if (answer.note) title.append(" ", made("small", answer.note));
  if (answer.columns.length) row.append(title, ...(answer.picture.length ? [placesPicture(answer)] : []), seriesTable(answer));
  else {
    const number = made("p", made("span", answer.words || answer.number, answer.words ? "number said" : "number"), "further-number");
    number.append(" ", made("span", answer.unit, "slab-unit"));
    const others = made("ul", "", "others");
    list(others, answer.others, quantity);
    row.append(title, number, others);
  }
  return row;
}

/** Where each row of a series stands, with its number in the order; the table below says the same in words. @param {View} answer */
function placesPicture(answer) {
  const height = Math.max(...answer.picture.map((/** @type {{y: string}} */ { y }) => Number(y))) + 18;
  const picture = drawn("svg", { class: "places", viewBox: `-9 -9 118 ${height}`, role: "img", "aria-label": answer.label });
  // So small that neighbours in the longest row do not touch.
  const many = answer.picture.length;
  const radius = many <= 10 ? 5.4 : many <= 24 ? 4.5 : 3;
  for (const { x, y, label } of answer.picture) {
    const place = drawn("g", { transform: `translate(${x} ${y})` });
    const number = drawn("text", { dy: String(radius * 0.36), "font-size": String(radius * 1.1) });
    number.textContent = label;
    place.append(drawn("circle", { r: String(radius) }), number);
    picture.append(place);
  }
  return picture;
}

/** @param {string} name @param {Record<string, string>} attributes */
function drawn(name, attributes) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  return element;
}

/** @param {View} answer */
function seriesTable(answer) {
  const frame = made("div", "", "table-scroll");
  frame.tabIndex = 0;
  frame.setAttribute("role", "region");
  frame.setAttribute("aria-label", answer.label);
  const [head, body, top] = [made("thead"), made("tbody"), made("tr")];
  for (const { label, unit } of answer.columns) {
    const cell = made("th", label);
    cell.setAttribute("scope", "col");
    if (unit) cell.append(" ", made("span", unit, "column-unit"));
    top.append(cell);
  }
  head.append(top);
  for (const cells of answer.rows) {
    const line = made("tr");
    line.append(...cells.map((/** @type {string} */ cell) => made("td", cell)));
    body.append(line);
  }
  const table = made("table", head);
  table.append(body);
  frame.append(table);
  return frame;
}

/** @param {View} answer  or a row, shaped like one @param {Words} words */
function everyUnit(answer, words) {
  const items = [answer, ...answer.others].map(quantity);
  const all = made("ul", "", "every");
  all.append(...items);
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
  list(row.echo, own.echo, ({ number, unit: symbol }) => made("span", `${number} ${symbol}`));
  if (!isTyped) control.value = row.unit === null || own.type === "points" ? own.text : fieldText(own, raw);
  if (control instanceof HTMLSelectElement) return;
  control.readOnly = own.is_unknown;
  control.style.setProperty("--long", String(Math.max(4, control.value.length)));
  if (row.unit) {
    write(row.unit, unit);
    row.unit.hidden = !unit || own.type === "points" || hasOwnUnit(control.value, own);
  }
}

/** What a field shows when nobody types in it: the number, its unit beside it; where it cannot be read, all that was typed. @param {View} own @param {string | undefined} raw */
function fieldText(own, raw) {
  return own.problem ? raw ?? own.text : own.number;
}

/** Whether the unit stands in the field itself, typed behind the number. @param {string} value @param {View} own */
function hasOwnUnit(value, own) {
  return value.trim() !== own.number.trim() && /\p{L}|["%°″′]/u.test(value);
}

/** @param {View} item @returns {HTMLElement} */
function quantity({ number, unit }) {
  const item = made("li", made("b", number));
  item.append(` ${unit}`);
  return item;
}

/**
 * @template T
 * @param {HTMLElement} element  hidden when there is nothing to list
 * @param {T[]} items
 * @param {(item: T) => HTMLElement} draw
 */
function list(element, items, draw) {
  element.hidden = items.length === 0;
  const isFromServer = !painted.has(element);
  if (!isNews(items, element)) return;
  // A space between the pieces: they are read aloud, copied and broken into lines as words.
  const pieces = items.flatMap((item) => [draw(item), " "]);
  if (!isFromServer || !shows(element, pieces)) element.replaceChildren(...pieces);
}

/** Whether an element shows just these pieces, as it does when the server made it: what is written anew is laid out anew. @param {Element} element @param {(HTMLElement | string)[]} pieces */
function shows(element, pieces) {
  const text = pieces.map((piece) => (typeof piece === "string" ? piece : piece.textContent)).join("");
  return squeezed(element.textContent ?? "") === squeezed(text);
}

/** @param {string} text */
function squeezed(text) {
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

/** @param {Element} element @param {string} text  unchanged text is not written again: no needless work on a slow phone */
export function write(element, text) {
  if (element.textContent !== text) element.textContent = text;
}

/** @param {HTMLElement} element @param {string} text  '' hides it */
function show(element, text) {
  write(element, text);
  element.hidden = text === "";
}

/** @param {string} text @param {Record<string, string>} fields */
export function fill(text, fields) {
  return text.replace(/\{(\w+)\}/g, (whole, name) => fields[name] ?? whole);
}

/** @param {string} tag @param {string | Node} [inside] @param {string} [name]  class */
function made(tag, inside = "", name = "") {
  const element = document.createElement(tag);
  element.append(inside);
  if (name) element.className = name;
  return element;
}
