/**
 * A Figure's page at work. State goes one way: what is typed -> present() -> paint. What is typed is all the state there is;
 * the address holds a copy of it, so that a reload or a shared link shows the same.
 */

import { Presenter } from "../lib/present.js";
import { splitQuantity } from "../lib/number.js";
import { fill, mainAnswer, paintAnswer, paintRow, part, prepareWorking, rowOf } from "./figure-paint.js";
import { InSight } from "./in-sight.js";
import { startPad } from "./number-pad.js";
import { startPoints } from "./points.js";
import { startShare } from "./share.js";
import { startSpeak } from "./speak.js";
import { UnitStrip } from "./unit-strip.js";

/** @typedef {import("./figure-paint.js").Row} Row */
/** @typedef {import("../lib/present.js").View} View */
/** @typedef {Record<string, string>} Words */

const LONGEST = 200; // characters of an input in the address; more is no number
const QUIET_MS = 400; // the address and the screen reader follow when the typing pauses
const SOLVE = "solve";

/** @param {HTMLElement} element @param {{words: Words}} options */
export async function start(element, { words }) {
  const id = element.dataset.figure ?? "";
  const page = document.documentElement;
  const [{ FIGURES, UNITS, CHOICES }, language] = await Promise.all([import("../figures.js"), import(`../words.${page.lang}.js`)]);
  const own = { text: language.TEXTS[id], words, decimal: language.DECIMAL, rowLabels: language.ROW_LABELS };
  const sheet = new Sheet(element, words, new Presenter({ units: UNITS, choices: CHOICES }, own, FIGURES[id]), UNITS);
  sheet.begin(new URLSearchParams(location.search));
}

class Sheet {
  /** @param {HTMLElement} element @param {Words} words @param {Presenter} presenter @param {any} units */
  constructor(element, words, presenter, units) {
    this.element = element;
    this.words = words;
    this.presenter = presenter;
    this.units = units.units;
    /** @type {Record<string, string>} what was typed, by name of the input or of the wanted answer; all else stands at its default */
    this.typed = {};
    this.unknown = "";
    /** @type {Map<string, Row>} */
    this.rows = new Map();
    /** @type {Record<string, string>} symbol of the unit that each row's number is in */
    this.symbols = {};
    /** @type {Row | null} */
    this.edited = null;
    /** @type {View} */
    this.view = {};
    this.pause = 0;
    this.dock = part(element, "dock");
    this.strip = new UnitStrip(this.dock, words, ({ symbol }) => this.chooseUnit(symbol));
  }

  /** @param {URLSearchParams} query */
  begin(query) {
    prepareWorking(this.element);
    this.gatherRows();
    this.readQuery(query);
    this.sight = new InSight({
      bar: /** @type {HTMLElement} */ (document.querySelector(".bar")), slab: part(this.element, "slab"),
      head: part(this.element, "slab-head"), dock: this.dock,
    });
    this.element.dataset.live = "";
    this.listen();
    this.answer();
    const told = { text: () => this.summary(), spoken: () => this.speech(), title: document.title, address: () => this.address() };
    startShare(part(this.element, "take-along"), this.words, told);
    startSpeak(part(this.element, "take-along"), this.words, told);
  }

  gatherRows() {
    const rows = part(this.element, "rows");
    for (const element of this.element.querySelectorAll("[data-row]")) {
      const row = rowOf(/** @type {HTMLElement} */ (element));
      this.rows.set(row.control.name, row);
      if (row.control instanceof HTMLInputElement) row.control.inputMode = "none";
      if (row.element.dataset.type === "points") startPoints(row, this.words);
    }
    // The wanted answer is asked for in a form of its own without this script; with it, it is the first of the rows.
    this.wanted = /** @type {Row} */ ([...this.rows.values()].find(({ element }) => element.classList.contains("is-wanted")));
    rows.prepend(this.wanted.element);
    this.giveBack = document.createElement("button");
    this.giveBack.type = "button";
    this.giveBack.className = "give-back";
    this.giveBack.textContent = this.words.figure_pad_give;
    this.giveBack.addEventListener("click", () => this.stopFinding());
  }

  /** A page from the saved copy stands at its defaults: what was asked for is in the address alone. @param {URLSearchParams} query */
  readQuery(query) {
    const { takes, gives } = this.presenter.figure;
    const asked = query.get(SOLVE) ?? "";
    if (takes.some(({ name, type }) => name === asked && type !== "choice" && type !== "points")) this.unknown = asked;
    const names = [...takes, ...(this.unknown ? gives : [])].map(({ name }) => name);
    for (const name of names) {
      const text = query.get(name);
      if (text !== null) this.typed[name] = text.slice(0, LONGEST);
    }
  }

  listen() {
    const form = part(this.element, "form");
    form.addEventListener("submit", (event) => event.preventDefault());
    form.addEventListener("input", (event) => this.hear(event));
    form.addEventListener("focusin", (event) => this.open(this.rowAt(event.target)));
    form.addEventListener("keydown", (event) => this.key(event));
    form.addEventListener("click", (event) => this.tap(event));
    document.addEventListener("focusin", ({ target }) => {
      const isOurs = target instanceof Node && (form.contains(target) || this.dock.contains(target));
      if (!isOurs) this.close();
    });
    this.dock.addEventListener("keydown", (event) => event.key === "Escape" && this.close());
    startPad(this.dock, this.presenter.decimal, () => this.field(), (key) => this.act(key));
    part(this.element, "problems").addEventListener("click", (event) => this.goToProblem(event));
  }

  // -- typed -> answer -> page ----------------------------------------------------------------------------------------------------

  answer() {
    const wasTyped = this.edited?.control.name;
    const view = (this.view = this.presenter.view(this.typed, this.unknown));
    paintAnswer(this.element, view, this.words);
    this.wanted.element.hidden = !this.unknown;
    for (const own of view.rows) this.paint(own, own.name === wasTyped);
    const unknown = this.unknown && this.rows.get(this.unknown);
    if (unknown) unknown.element.append(this.giveBack ?? "");
    else this.giveBack?.remove();
    clearTimeout(this.pause);
    this.pause = window.setTimeout(() => this.afterwards(), QUIET_MS);
  }

  /** @param {View} own @param {boolean} isTyped */
  paint(own, isTyped) {
    const row = own.is_wanted ? this.wanted : this.rows.get(own.name);
    if (!row) return;
    if (own.is_wanted) {
      row.control.name = own.name;
      row.label.textContent = fill(this.words.figure_wanted, { label: own.label });
      row.note.textContent = own.sort;
    }
    // An empty or unreadable field keeps the unit that its number was in.
    if (!own.problem || this.symbols[own.name] === undefined) this.symbols[own.name] = this.units[own.unit_id]?.symbol ?? "";
    paintRow(row, this.view, own, this.symbols[own.name], isTyped);
    if (isTyped) this.strip.show(own.units, this.unitId(own));
  }

  /** @param {View} own */
  unitId(own) {
    return own.units.find((/** @type {View} */ { symbol }) => symbol === this.symbols[own.name])?.id ?? own.unit_id;
  }

  /** When the typing pauses: the address, and what a screen reader says. */
  afterwards() {
    try {
      history.replaceState(history.state, "", this.address());
    } catch {
      // Some browsers limit how often, and a file opened from disk may not: the page works on without it.
    }
    const aloud = part(this.element, "aloud");
    const text = this.view.state === "ok" ? this.mainLine() : this.view.sentence;
    if (aloud.textContent !== text) aloud.textContent = text;
  }

  /** This page with what is typed; the plain address while nothing is. */
  address() {
    const query = new URLSearchParams();
    if (Object.keys(this.typed).length || this.unknown) {
      for (const { name, text, is_unknown, brought } of this.view.rows) if (!is_unknown && !brought) query.set(name, this.typed[name] ?? text);
      if (this.unknown) query.set(SOLVE, this.unknown);
    }
    const asked = query.toString();
    return location.origin + location.pathname + (asked && `?${asked}`) + location.hash;
  }

  // -- what the reader does -------------------------------------------------------------------------------------------------------

  /** @param {Event} event */
  hear(event) {
    const control = /** @type {HTMLInputElement | HTMLSelectElement} */ (event.target);
    const row = this.rowAt(control);
    if (!row) return;
    const { name } = row.control;
    if (row.element.dataset.type === "quantity" || row.element.dataset.type === "count") {
      if (this.edited !== row) this.open(row);
      this.typed[name] = this.withUnit(name, row.control.value);
    } else this.typed[name] = row.control.value;
    this.answer();
  }

  /** The typed text with the unit that stands beside it, unless it carries one itself. @param {string} name @param {string} value */
  withUnit(name, value) {
    const symbol = this.symbols[name];
    return value.trim() === "" || !symbol || splitQuantity(value)[1] ? value : `${value} ${symbol}`;
  }

  /** @param {string} symbol */
  chooseUnit(symbol) {
    const row = this.edited;
    if (!row) return;
    const { name } = row.control;
    row.control.value = splitQuantity(row.control.value)[0];
    this.symbols[name] = symbol;
    this.typed[name] = this.withUnit(name, row.control.value);
    this.answer();
    this.field()?.focus({ preventScroll: true });
  }

  /** @param {Row | null} row */
  open(row) {
    if (!row || row === this.edited) return;
    if (!(row.control instanceof HTMLInputElement) || row.control.readOnly) return this.close();
    this.leave();
    this.edited = row;
    row.element.classList.add("is-edited");
    document.documentElement.dataset.busy = "editing";
    this.dock.hidden = false;
    this.strip.open(false);
    this.setKeys(row);
    this.answer();
    this.strip.draw();
    this.sight?.look(row.element);
    this.field()?.select();
  }

  /** Keys that have a meaning in this row only. @param {Row} row */
  setKeys(row) {
    const own = this.view.rows.find((/** @type {View} */ { name }) => name === row.control.name);
    const key = (/** @type {string} */ name) => /** @type {HTMLButtonElement} */ (this.dock.querySelector(`[data-key="${name}"]`));
    key("sign").disabled = !(own?.signed ?? true);
    key("fraction").disabled = own?.whole ?? false;
    key("find").disabled = row === this.wanted || !["quantity", "count"].includes(own?.type ?? "");
    const isLast = !this.following(row);
    key("next").textContent = isLast ? this.words.figure_pad_done : this.words.figure_pad_next;
    this.dock.toggleAttribute("data-last", isLast);
  }

  /** The row is edited no longer; its unit stands beside the number again, wherever it was typed. */
  leave() {
    const row = this.edited;
    this.edited = null;
    row?.element.classList.remove("is-edited");
    if (row) this.answer();
  }

  close() {
    if (!this.edited) return;
    this.leave();
    this.dock.hidden = true;
    delete document.documentElement.dataset.busy;
    this.sight?.look(null);
  }

  /** @param {Row} row @returns {Row | undefined} the next row that can be typed in */
  following(row) {
    const fields = [.../** @type {NodeListOf<HTMLElement>} */ (this.element.querySelectorAll("[data-row]"))];
    const after = fields.slice(fields.indexOf(row.element) + 1).map((element) => this.rowAt(element));
    return after.find((one) => one && !one.element.hidden && one.control instanceof HTMLInputElement && !one.control.readOnly) ?? undefined;
  }

  /** @param {string} key  of the dock, that does more than type */
  act(key) {
    const row = this.edited;
    if (!row) return;
    if (key === "find") this.find(row.control.name);
    else if (key === "board") this.callBoard();
    else this.goOn(row, key === "next");
  }

  /** @param {Row} row @param {boolean} isNext */
  goOn(row, isNext) {
    const next = isNext && this.following(row);
    if (next) next.control.focus({ preventScroll: true });
    else {
      row.control.blur();
      this.close();
    }
  }

  /** The phone's own keyboard in place of the keys, for a pasted text or a unit typed behind the number; and back. */
  callBoard() {
    const field = this.field();
    const isCalled = this.dock.dataset.board === undefined;
    this.dock.toggleAttribute("data-board", isCalled);
    this.dock.querySelector('[data-key="board"]')?.setAttribute("aria-pressed", String(isCalled));
    for (const input of this.element.querySelectorAll("form input")) {
      /** @type {HTMLInputElement} */ (input).inputMode = isCalled ? "text" : "none";
    }
    this.strip.open(false);
    // Only a fresh focus makes a phone look at the input mode again.
    field?.blur();
    field?.focus({ preventScroll: true });
    this.sight?.look(this.edited?.element ?? null);
  }

  /** Makes a row the unknown; the answer it gave so far becomes the wanted one, to be typed over. @param {string} name */
  find(name) {
    const found = this.view.found && this.keepFound();
    const wanted = this.wanted.control.name;
    const main = this.view.answers.find((/** @type {View} */ answer) => answer.name === wanted);
    if (!found && main) this.typed[wanted] = `${main.number} ${main.unit}`.trim();
    this.unknown = name;
    this.leave();
    this.answer();
    this.open(this.wanted);
    this.wanted.control.focus({ preventScroll: true });
  }

  /** What was found goes on as if it had been typed. */
  keepFound() {
    if (this.view.found) this.typed[this.unknown] = `${this.view.found.number} ${this.view.found.unit}`.trim();
    return Boolean(this.view.found);
  }

  stopFinding() {
    const name = this.unknown;
    this.keepFound();
    delete this.typed[this.wanted.control.name];
    this.unknown = "";
    this.answer();
    this.rows.get(name)?.control.focus({ preventScroll: true });
  }

  /** @param {KeyboardEvent} event */
  key(event) {
    const row = this.rowAt(event.target);
    if (event.key === "Escape") this.close();
    else if (event.key === "Enter" && row && event.target instanceof HTMLInputElement && !event.isComposing) {
      event.preventDefault();
      this.goOn(row, true);
    }
  }

  /** A tap anywhere on a row is meant for its field. @param {Event} event */
  tap(event) {
    const row = this.rowAt(event.target);
    if (!row || !(event.target instanceof Element) || event.target.closest("input, select, button, label, a")) return;
    row.control.focus({ preventScroll: true });
  }

  /** @param {Event} event */
  goToProblem(event) {
    const link = /** @type {Element} */ (event.target).closest("a");
    const row = link && this.rows.get(link.hash.replace("#row-", ""));
    if (!row) return;
    event.preventDefault();
    row.control.focus({ preventScroll: true });
    if (!this.edited) row.element.scrollIntoView({ block: "center" });
  }

  /** @param {EventTarget | null} target */
  rowAt(target) {
    const element = target instanceof Element ? target.closest("[data-row]") : null;
    return [...this.rows.values()].find((row) => row.element === element) ?? null;
  }

  /** The field being edited: the row's own, or the one of a curve's points that has the caret. */
  field() {
    const active = document.activeElement;
    if (active instanceof HTMLInputElement && this.edited?.element.contains(active)) return active;
    return /** @type {HTMLInputElement | null} */ (this.edited?.control ?? null);
  }

  // -- for copying and saying aloud -----------------------------------------------------------------------------------------------

  mainLine() {
    const main = mainAnswer(this.view);
    return main ? this.line(main) : "";
  }

  /** @param {View} item  an answer or a row */
  line({ label, words: said, number, unit, sort, text, options }) {
    const row = options?.find((/** @type {View} */ option) => option.id === text);
    const value = said || row?.label || [number, unit, sort].filter(Boolean).join(" ");
    return fill(this.words.figure_line, { label, value });
  }

  /** The whole answer as lines of text, with all that was typed. */
  summary() {
    const { view } = this;
    const answers = view.state === "ok" ? [...(view.found ? [view.found] : []), ...view.answers].filter(({ columns }) => !columns.length) : [];
    const rows = view.rows.filter((/** @type {View} */ { is_unknown, is_wanted }) => !is_unknown && !is_wanted);
    const says = [view.sentence, view.verdict?.text, view.estimate, ...view.warnings].filter(Boolean);
    return [this.presenter.text.title, ...[...answers, ...rows].map((item) => this.line(item)), ...says].join("\n");
  }

  speech() {
    const { state, sentence, verdict } = this.view;
    const main = mainAnswer(this.view);
    if (state !== "ok" || !main) return sentence;
    const spoken = { ...main, unit: this.units[main.unit_id]?.spoken ?? "" };
    return [this.line(spoken), verdict?.text].filter(Boolean).join(". ");
  }
}
