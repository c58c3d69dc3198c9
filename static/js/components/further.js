/** The answers below the givens of a Figure's page: what else was worked out, each in a row of its own. */

import { made, mainAnswer, part, quantities, shows, squeezed, write } from "./figure-paint.js";

/** @typedef {import("../lib/present.js").View} View */

/** @type {typeof import("./series.js") | null} how a series is drawn, on the pages that have one */
let series = null;

/** Gets ready what a Figure needs whose answers are series. */
export async function startSeries() {
  series = await import("./series.js");
}

/** @type {WeakMap<Element, View>} the answer that each row shows */
const shown = new WeakMap();

/** @param {HTMLElement} element @param {View} view @param {string} lead  name of the answer that stands first, '' for the Figure's own */
export function paintFurther(element, view, lead) {
  const main = mainAnswer(view, lead);
  const others = view.answers.filter((/** @type {View} */ answer) => answer !== main && !(view.found && answer.first));
  const further = part(element, "further");
  if (further) {
    const old = [...further.children];
    const rows = others.map((/** @type {View} */ answer, /** @type {number} */ n) => renewed(old[n], answer));
    if (rows.length !== old.length || rows.some((/** @type {Element} */ row, /** @type {number} */ n) => row !== old[n])) further.replaceChildren(...rows);
  }
  part(element, "further-section")?.toggleAttribute("hidden", !others.length);
}

/** The row of an answer: the one that stands there, where it can show it. @param {Element | undefined} old @param {View} answer */
function renewed(old, answer) {
  if (old && (shown.get(old) === answer || written(old, answer))) {
    shown.set(old, answer);
    return old;
  }
  const fresh = furtherRow(answer);
  const row = old && answer.columns.length && shows(old, [fresh]) ? old : fresh;
  shown.set(row, answer);
  return row;
}

/** Writes an answer that is one number into the row that stands there, if that is of the same shape. @param {Element} row @param {View} answer @returns {boolean} whether it was */
function written(row, answer) {
  if (answer.columns.length) return false;
  const [title, number, unit, others] = ["h3", ".number", ".slab-unit", ".others"].map((one) => /** @type {HTMLElement | null} */ (row.querySelector(one)));
  if (!title || !number || !unit || row.querySelector("table")) return false;
  if (squeezed(title.textContent ?? "") !== squeezed([answer.label, answer.sort, answer.note].join(" "))) return false;
  if (number.classList.contains("said") !== Boolean(answer.words) || (!others && answer.others.length)) return false;
  write(number, answer.words || answer.number);
  write(unit, answer.unit);
  if (others) quantities(others, answer.others);
  return true;
}

/** @param {View} answer */
function furtherRow(answer) {
  const row = made("div");
  row.className = "further-row";
  const title = made("h3", answer.label);
  if (answer.sort) title.append(" ", made("span", answer.sort, "sort"));
  if (answer.note) title.append(" ", made("small", answer.note));
  if (answer.columns.length) row.append(title, ...(series?.drawnSeries(answer) ?? []));
  else {
    const number = made("p", made("span", answer.words || answer.number, answer.words ? "number said" : "number"), "further-number");
    number.append(" ", made("span", answer.unit, "slab-unit"));
    const others = made("ul", "", "others");
    quantities(others, answer.others);
    row.append(title, number, others);
  }
  return row;
}
