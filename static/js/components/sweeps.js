/**
 * What a Figure draws over a sweep: one picture at a time, a slider that reads it at a place, the same as a table, and a second
 * set-up held to compare with. It is fetched where there is something to draw, once the first answer stands.
 */

import { exact, OTHER_DIGITS } from "../lib/display.js";
import { sweepsView } from "../lib/present-sweeps.js";
import { fill, part, write } from "./figure-paint.js";
import { colours, Plot, plotter } from "./plot.js";

/** @typedef {import("./sheet.js").Sheet} Sheet */
/** @typedef {import("../lib/present.js").View} View */
/** @typedef {{typed: Record<string, string>, view: View, sweeps: View[]}} Held */

export class Sweeps {
  /** @param {Sheet} sheet @param {string} library  address of the plotting library */
  constructor(sheet, library) {
    this.sheet = sheet;
    this.library = library;
    this.words = sheet.words;
    this.element = part(sheet.element, "sweeps");
    /** @type {View[]} */
    this.sweeps = [];
    /** @type {Held | null} */
    this.held = null;
    this.at = 0;
    this.index = -1;
    /** @type {Plot | null} */
    this.plot = null;
    this.buttons = made("div", "pictures");
    this.buttons.setAttribute("role", "group");
    this.buttons.setAttribute("aria-label", this.words.sweep_pictures);
    this.place = made("div", "plot");
    this.place.setAttribute("aria-hidden", "true");
    this.slider = /** @type {HTMLInputElement} */ (made("input", "read-at"));
    this.read = made("p", "reading");
  }

  /** @param {Record<string, string> | null} typed  of the set-up that the address holds */
  async begin(typed) {
    this.hold(typed);
    this.lay();
    this.show();
    this.showRest();
    try {
      const uPlot = await plotter(this.library);
      this.uPlot = uPlot;
      this.restart();
      this.watch();
    } catch {
      write(this.place, this.words.sweep_failed);
      this.place.removeAttribute("aria-hidden");
    }
  }

  lay() {
    const drawn = part(this.sheet.element, "drawn");
    this.slider.type = "range";
    this.slider.min = "0";
    this.slider.step = "1";
    this.slider.setAttribute("aria-label", this.words.sweep_place);
    this.slider.addEventListener("input", () => this.readAt(Number(this.slider.value)));
    drawn.append(this.buttons, this.place, this.slider, this.read);
    drawn.hidden = false;
    this.element.addEventListener("toggle", () => {
      this.show();
      this.showRest();
    }, true);
    const hold = this.sheet.presenter.calculator.runSweep && part(this.sheet.element, "hold");
    if (!hold) return;
    this.holdButton = /** @type {HTMLButtonElement} */ (made("button", ""));
    this.holdButton.type = "button";
    this.holdButton.addEventListener("click", () => this.toggleHold());
    hold.replaceChildren(this.holdButton);
    this.paintHold();
  }

  watch() {
    const again = () => this.restart();
    window.addEventListener("resize", again);
    for (const query of ["(prefers-color-scheme: dark)", "(forced-colors: active)"]) matchMedia(query).addEventListener("change", again);
    new MutationObserver(again).observe(document.documentElement, { attributeFilter: ["data-theme"] });
    window.addEventListener("beforeprint", () => this.print());
    window.addEventListener("afterprint", () => this.element.querySelector(".on-paper")?.remove());
  }

  /** Begins the picture anew: other colours, another width. */
  restart() {
    this.plot?.destroy();
    this.plot = this.uPlot ? this.newPlot(this.place, {}) : null;
    this.paintPicture();
  }

  /** @param {HTMLElement} place @param {{width?: number, onPaper?: boolean}} options */
  newPlot(place, { width, onPaper }) {
    const { decimal } = this.sheet.presenter;
    const write = (/** @type {number} */ value) => exact(value, OTHER_DIGITS, decimal);
    return new Plot(this.uPlot, place, { write, read: (x) => this.readNear(x), colours: colours(onPaper), width });
  }

  // -- after each answer ------------------------------------------------------------------------------------------------------------

  show() {
    this.sweeps = sweepsView(this.sheet.presenter, this.isOpen());
    this.paintButtons();
    this.paintPicture();
  }

  /** What stands below the picture. */
  showRest() {
    if (this.isOpen()) this.paintTables();
    this.paintCompared();
  }

  /** Whether the table lies open. */
  isOpen() {
    return Boolean(/** @type {HTMLDetailsElement | null} */ (this.element.querySelector("details"))?.open);
  }

  /** [sweep, picture, the same of what is held] of each picture. @returns {{sweep: View, picture: View, held: {x: number[], picture: View} | null}[]} */
  pictures() {
    return this.sweeps.flatMap((sweep, n) => sweep.pictures.map((/** @type {View} */ picture, /** @type {number} */ p) => {
      const other = this.held?.sweeps[n];
      return { sweep, picture, held: other ? { x: other.x, picture: other.pictures[p] } : null };
    }));
  }

  paintButtons() {
    const titles = this.pictures().map(({ picture }) => picture.title);
    const isNew = this.buttons.children.length !== titles.length;
    if (isNew && titles.length > 1) this.buttons.replaceChildren(...titles.map((title, n) => this.button(title, n)));
    [...this.buttons.children].forEach((button, n) => {
      const pressed = String(n === this.at);
      if (button.getAttribute("aria-pressed") !== pressed) button.setAttribute("aria-pressed", pressed);
    });
  }

  /** @param {string} title @param {number} n */
  button(title, n) {
    const button = /** @type {HTMLButtonElement} */ (made("button", ""));
    button.type = "button";
    button.textContent = title;
    button.addEventListener("click", () => {
      this.at = n;
      this.paintButtons();
      this.paintPicture();
    });
    return button;
  }

  paintPicture() {
    const one = this.pictures()[this.at];
    this.slider.hidden = this.place.hidden = !one;
    if (!one) return write(this.read, this.words.sweep_nothing);
    const last = one.sweep.x.length - 1;
    if (this.slider.max !== String(last)) this.slider.max = String(last);
    if (this.index < 0 || this.index > last) this.index = last;
    this.plot?.show(one.sweep.x, one.picture, one.held);
    this.readAt(this.index);
  }

  // -- reading it -------------------------------------------------------------------------------------------------------------------

  /** @param {number} x */
  readNear(x) {
    const at = this.pictures()[this.at]?.sweep.x ?? [];
    const near = at.reduce((/** @type {number} */ best, /** @type {number} */ one, /** @type {number} */ n) =>
      (Math.abs(one - x) < Math.abs(at[best] - x) ? n : best), 0);
    if (near !== this.index) this.readAt(near, false);
  }

  /** @param {number} index @param {boolean} [points]  whether the cross-hair has to follow */
  readAt(index, points = true) {
    const one = this.pictures()[this.at];
    if (!one) return;
    this.index = index;
    const x = one.sweep.x[index];
    const text = fill(this.words.sweep_read, { place: this.quantity(x, one.sweep.across.unit), values: this.valuesAt(one, index) });
    if (this.slider.value !== String(index)) this.slider.value = String(index);
    if (this.slider.getAttribute("aria-valuetext") !== text) this.slider.setAttribute("aria-valuetext", text);
    write(this.read, text);
    if (points) this.plot?.point(x);
  }

  /** @param {ReturnType<Sweeps["pictures"]>[number]} one @param {number} index */
  valuesAt({ sweep, picture, held }, index) {
    const told = (/** @type {View} */ from, /** @type {number} */ at, /** @type {string} */ form) =>
      from.series.map((/** @type {View} */ { label, y }) =>
        `${fill(form, { label })} ${y[at] === null || y[at] === undefined ? "–" : this.quantity(y[at], from.unit)}`);
    const there = held ? held.x.indexOf(sweep.x[index]) : -1;
    return [...told(picture, index, "{label}"), ...(held && there >= 0 ? told(held.picture, there, this.words.sweep_held_line) : [])].join(", ");
  }

  /** @param {number} value @param {string} unit */
  quantity(value, unit) {
    return `${exact(value, OTHER_DIGITS, this.sheet.presenter.decimal)} ${unit}`.trim();
  }

  paintTables() {
    const place = part(this.sheet.element, "sweep-tables");
    [...place.querySelectorAll("tbody")].forEach((body, n) => {
      const rows = /** @type {string[][]} */ (this.sweeps[n]?.rows ?? []);
      if (rows.length !== body.rows.length) body.replaceChildren(...rows.map((row) => tableRow(row)));
      else rows.forEach((row, r) => row.forEach((text, c) => write(body.rows[r].cells[c], text)));
    });
  }

  // -- comparing --------------------------------------------------------------------------------------------------------------------

  /** @param {Record<string, string> | null} typed  what is held; null to let it go */
  hold(typed) {
    const { presenter } = this.sheet;
    if (!typed) {
      this.held = null;
      return;
    }
    const { last, numbers, spreads, isQuick, ready } = presenter;
    Object.assign(presenter, { isQuick: false, ready: null });
    const view = presenter.view(typed);
    this.held = { typed, view, sweeps: sweepsView(presenter, false) };
    // The presenter goes on with what it had: the page's own numbers.
    Object.assign(presenter, { last, numbers, spreads, isQuick, ready });
  }

  toggleHold() {
    const { presenter, view, isComing, unknown } = this.sheet;
    if (this.held) this.held = null;
    // A whole view of what is typed need not be worked out again.
    else if (isComing || unknown) this.hold(this.sheet.allTyped());
    else this.held = { typed: this.sheet.allTyped(), view, sweeps: sweepsView(presenter, false) };
    this.paintHold();
    this.plot?.destroy();
    this.restart();
    this.paintCompared();
    this.sheet.afterwards();
  }

  paintHold() {
    if (this.holdButton) this.holdButton.textContent = this.held ? this.words.sweep_let_go : this.words.sweep_hold;
  }

  paintCompared() {
    const place = part(this.sheet.element, "compared");
    if (!place) return;
    place.hidden = !this.held;
    if (this.held) place.replaceChildren(verdicts(this.words, this.held.view, this.sheet.view), sideBySide(this.words, compared(this.held.view, this.sheet.view)));
  }

  // -- on paper -----------------------------------------------------------------------------------------------------------------------

  /** All pictures, in black on white: a canvas keeps the colours it was drawn with. */
  print() {
    this.element.querySelector(".on-paper")?.remove();
    const paper = made("div", "on-paper");
    part(this.sheet.element, "drawn").after(paper);
    for (const { sweep, picture, held } of this.pictures()) {
      const title = made("h3", "");
      title.textContent = `${picture.title}${picture.unit ? `, ${picture.unit}` : ""}`;
      const place = made("div", "plot");
      paper.append(title, place);
      this.newPlot(place, { width: 600, onPaper: true }).show(sweep.x, picture, held);
    }
  }
}

/**
 * The inputs that differ, then every answer.
 * @param {View} held @param {View} now
 * @returns {string[][]} [label, held, now]
 */
function compared(held, now) {
  /** @type {string[][]} */
  const rows = [];
  for (const row of now.rows) {
    const other = held.rows.find((/** @type {View} */ { name }) => name === row.name);
    if (other && rowText(other) !== rowText(row)) rows.push([row.label, rowText(other), rowText(row)]);
  }
  for (const answer of now.answers) {
    const other = held.answers.find((/** @type {View} */ { name }) => name === answer.name);
    if (other) rows.push([answer.label, answerText(other), answerText(answer)]);
  }
  return rows;
}

/** @param {View} view @returns {string} */
const verdictOf = (view) => view.sentence || (view.verdict?.text ?? "");
/** @param {View} row @returns {string} */
const rowText = (row) => row.options.find((/** @type {View} */ { id }) => id === row.text)?.label ?? row.text;
/** @param {View} answer @returns {string} */
const answerText = (answer) => answer.words || `${answer.number} ${answer.unit}`.trim();

/** @param {Record<string, string>} words @param {View} held @param {View} now */
function verdicts(words, held, now) {
  const list = made("dl", "verdicts");
  for (const [name, view] of /** @type {[string, View][]} */ ([[words.sweep_held, held], [words.sweep_now, now]])) {
    const [term, says] = [made("dt", ""), made("dd", "")];
    term.textContent = name;
    says.textContent = verdictOf(view);
    list.append(term, says);
  }
  return list;
}

/** @param {Record<string, string>} words @param {string[][]} rows */
function sideBySide(words, rows) {
  const scroll = made("div", "table-scroll");
  scroll.tabIndex = 0;
  scroll.setAttribute("role", "region");
  scroll.setAttribute("aria-label", fill(words.common_scroll_table, { title: words.sweep_compared }));
  const table = made("table", "side-by-side");
  const head = made("thead", "");
  head.append(tableRow([words.sweep_compared, words.sweep_held, words.sweep_now], "col"));
  const body = made("tbody", "");
  body.append(...rows.map((row) => tableRow(row)));
  table.append(head, body);
  scroll.append(table);
  return scroll;
}

/** @param {string[]} cells @param {string} [heads]  'col' where all are heads of columns */
function tableRow(cells, heads) {
  const row = made("tr", "");
  row.append(...cells.map((text, n) => {
    const cell = made(heads || n === 0 ? "th" : "td", "");
    if (heads || n === 0) cell.setAttribute("scope", heads ?? "row");
    cell.textContent = text;
    return cell;
  }));
  return row;
}

/** @param {string} tag @param {string} name  of its class, '' for none */
function made(tag, name) {
  const element = document.createElement(tag);
  if (name) element.className = name;
  return element;
}
