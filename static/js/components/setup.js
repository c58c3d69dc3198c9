/**
 * The page on which a person enters their car once. Its rows are those of a Figure, edited by the same row editor, pad and units;
 * each change goes to the phone by itself, field by field.
 */

import { exact, inUnit, OTHER_DIGITS, withUnit } from "../lib/display.js";
import { isNumber, splitQuantity } from "../lib/number.js";
import { Presenter } from "../lib/present.js";
import { addSetup, allSetups, changed, changeSetup, hint, jot, newSetup, removeSetup, useSetup } from "../lib/setup.js";
import { watchOthers, watchState } from "../lib/store.js";
import { fill, paintRow, part, rowOf, write } from "./figure-paint.js";
import { RowEditor } from "./row-editor.js";
import { UNITS } from "../units.js";

/** @typedef {import("../lib/setup.js").Setup} Setup */
/** @typedef {import("./figure-paint.js").Row} Row */
/** @typedef {import("../lib/present.js").View} View */
/** @typedef {Record<string, string>} Words */

/** @param {HTMLElement} element @param {{words: Words}} options */
export async function start(element, { words }) {
  const { lang } = document.documentElement;
  const [{ FIGURE, TEXT, ROW_LABELS }, { DECIMAL }] = await Promise.all([
    import(`../setup.${lang}.js`), import(`../words.${lang}.js`),
  ]);
  const language = { text: TEXT, words, decimal: DECIMAL, rowLabels: ROW_LABELS };
  const sheet = new SetupSheet(element, words, new Presenter({ units: UNITS, choices: {} }, language, FIGURE));
  await sheet.begin();
}

/** Has what RowEditor asks of a sheet. */
class SetupSheet {
  /** @param {HTMLElement} element @param {Words} words @param {Presenter} presenter */
  constructor(element, words, presenter) {
    this.element = element;
    this.words = words;
    this.presenter = presenter;
    this.units = presenter.units;
    /** @type {Setup[]} */
    this.setups = [];
    /** @type {Setup | null} */
    this.inUse = null;
    /** @type {{name?: string, values: Record<string, string>}} typed and not written yet */
    this.fresh = { values: {} };
    /** @type {{name?: string, values: Record<string, string>}} on its way to the phone */
    this.going = { values: {} };
    /** @type {Promise<void> | null} the writing that is under way */
    this.keeping = null;
    /** @type {import("../lib/store.js").State} */
    this.state = "fine";
    this.isReady = false;
    /** @type {Record<string, string>} symbol of the unit that each row's number is in */
    this.symbols = {};
    /** @type {View} */
    this.view = { rows: [], about: "", sentence: "" };
    this.unknown = "";
    const rows = [...element.querySelectorAll("[data-row]")].map((row) => rowOf(/** @type {HTMLElement} */ (row)));
    /** @type {Map<string, Row>} */
    this.rows = new Map(rows.map((row) => [row.control.name, row]));
    /** The row that RowEditor goes to after its key 'find', which empties a row here. */
    this.wanted = rows[0];
    this.editor = new RowEditor(/** @type {any} */ (this));
  }

  async begin() {
    const { element, words } = this;
    document.querySelector("[data-needs=scripts]")?.remove();
    const empty = /** @type {HTMLElement} */ (element.querySelector("[data-key=find]"));
    empty.textContent = words.setup_empty;
    empty.title = words.setup_empty_long;
    empty.setAttribute("aria-label", words.setup_empty_long);
    element.hidden = false;
    part(element, "choosing").hidden = part(element, "form").hidden = true;
    watchState((state) => this.tellState(state));
    await this.read();
    this.isReady = true;
    this.tellState(this.state);
    await this.editor.begin();
    this.listen();
  }

  listen() {
    const { element } = this;
    part(element, "list").addEventListener("change", ({ target }) => void this.choose(/** @type {HTMLInputElement} */ (target).value));
    part(element, "name-field").addEventListener("input", ({ target }) => this.rename(/** @type {HTMLInputElement} */ (target).value));
    part(element, "acts").addEventListener("click", ({ target }) => {
      const act = /** @type {Element} */ (target).closest("button")?.dataset.act;
      if (act === "add") void this.add(newSetup(this.nextName()));
      else if (act === "copy" && this.inUse) void this.add(newSetup(fill(this.words.setup_copy_name, { name: this.nameOf(this.inUse) }), this.inUse.values));
      else if (act === "delete") void this.remove();
    });
    const again = () => void this.keep().then(() => this.read());
    watchOthers(again);
    // "beforeunload" does not come when a phone ends a page.
    window.addEventListener("pagehide", () => this.leave());
    window.addEventListener("pageshow", ({ persisted }) => persisted && again());
    document.addEventListener("visibilitychange", () => (document.visibilityState === "visible" ? again() : void this.keep()));
  }

  // -- phone -> page ----------------------------------------------------------------------------------------------------------------

  async read() {
    const { setups, inUse } = await allSetups();
    this.setups = setups;
    // What has been typed meanwhile counts.
    this.inUse = inUse && changed(inUse, this.unkept());
    this.paint();
  }

  paint() {
    const { element, words, inUse, setups } = this;
    const isForm = Boolean(inUse) || setups.length === 0;
    part(element, "choosing").hidden = setups.length === 0 && !part(element, "done").hasChildNodes();
    part(element, "form").hidden = !isForm;
    part(element, "rename").hidden = !inUse;
    write(part(element, "name"), inUse ? this.nameOf(inUse) : setups.length ? words.setup_none : words.setup_new);
    const acts = part(element, "acts");
    for (const act of ["copy", "delete"]) /** @type {HTMLElement} */ (acts.querySelector(`[data-act=${act}]`)).hidden = !inUse;
    acts.hidden = setups.length === 0;
    part(element, "list").hidden = setups.length === 0;
    const field = /** @type {HTMLInputElement} */ (part(element, "name-field"));
    if (document.activeElement !== field) field.value = inUse?.name ?? "";
    this.paintList();
    this.repaint();
    if (!this.keeping) this.tellState(this.state);
    hint(inUse);
  }

  /** One radio button a setup, and one for none; only what has changed is made anew, so that the focus stays. */
  paintList() {
    const { words, setups, inUse } = this;
    const list = part(this.element, "list");
    const options = [...setups.map((one) => ({ id: one.id, name: this.nameOf(one) })), { id: "", name: words.setup_none }];
    const shown = JSON.stringify(options);
    if (list.dataset.shown !== shown) list.replaceChildren(...options.map(option));
    list.dataset.shown = shown;
    for (const radio of list.querySelectorAll("input")) radio.checked = radio.value === (inUse?.id ?? "");
  }

  /** @param {Setup} setup */
  nameOf({ id, name }) {
    return (id === this.inUse?.id ? this.inUse.name : name).trim() || this.words.setup_unnamed;
  }

  nextName() {
    return this.setups.length ? fill(this.words.setup_next_name, { number: String(this.setups.length + 1) }) : this.words.setup_first_name;
  }

  /** Reads what is entered and paints every row; the name is the one that RowEditor calls. */
  repaint() {
    const { presenter, editor, inUse } = this;
    const values = inUse?.values ?? {};
    const { rows, givens } = presenter.readRows(Object.fromEntries(presenter.figure.takes.map(({ name }) => [name, values[name] ?? ""])), null);
    for (const own of rows) this.judge(own, values[own.name] ?? "", givens[own.name]);
    this.view = { rows, about: "", sentence: "" };
    for (const own of rows) this.paintOne(own, editor.edited?.control.name === own.name);
    const entered = Object.keys(values).length;
    const count = fill(this.words.setup_count, { number: String(entered), of: String(rows.length) });
    write(part(this.element, "count"), inUse ? count : "");
    editor.follow();
  }

  /** A field that is not entered is no mistake; one outside its range is. @param {View} own  a row of the view @param {string} text @param {number | undefined} si */
  judge(own, text, si) {
    const take = /** @type {import("../lib/calculator.js").Take} */ (this.presenter.figure.takes.find(({ name }) => name === own.name));
    if (!text.trim()) own.problem = own.code = "";
    if (take.type === "choice" || own.problem || si === undefined) return;
    const key = si < take.low ? "below" : si > take.high ? "above" : take.type === "count" && !Number.isInteger(si) ? "whole" : "";
    if (!key) return;
    const unit = this.units[own.unit_id];
    const limit = exact(inUnit(key === "below" ? take.low : take.high, unit), OTHER_DIGITS, this.presenter.decimal);
    own.problem = fill(this.words[`setup_${key}`], { label: own.label, value: text, limit: withUnit(limit, unit.symbol) });
  }

  /** @param {View} own @param {boolean} isTyped */
  paintOne(own, isTyped) {
    const row = /** @type {Row} */ (this.rows.get(own.name));
    // An empty or unreadable field keeps the unit that its number was in.
    if (this.symbols[own.name] === undefined || (own.number && !own.code)) this.symbols[own.name] = this.units[own.unit_id]?.symbol ?? "";
    paintRow(row, this.view, own, { unit: this.symbols[own.name], raw: own.code ? own.text : own.number, isTyped });
  }

  // -- page -> phone ----------------------------------------------------------------------------------------------------------------

  /** @param {Row} row  whose field has changed */
  take({ element, control }) {
    const { name, value } = control;
    const symbol = this.symbols[name];
    const isPlain = element.dataset.type !== "choice" && symbol && isNumber(value);
    this.enter({ values: { [name]: isPlain ? `${value} ${symbol}` : value } });
    this.repaint();
  }

  /** @param {Row} row @param {string} symbol */
  takeUnit(row, symbol) {
    this.symbols[row.control.name] = symbol;
    row.control.value = splitQuantity(row.control.value)[0];
    this.take(row);
  }

  /** RowEditor's key 'find' empties the row here. @param {string} name */
  find(name) {
    this.wanted = /** @type {Row} */ (this.rows.get(name));
    this.wanted.control.value = "";
    this.take(this.wanted);
  }

  /** @param {string} name */
  rename(name) {
    this.enter({ name });
    if (this.inUse) write(part(this.element, "name"), this.nameOf(this.inUse));
    this.paintList();
  }

  /** Takes in what was typed; the first thing ever typed makes the first setup. @param {{name?: string, values?: Record<string, string>}} typed */
  enter({ name, values = {} }) {
    if (!this.inUse) {
      const first = changed(newSetup(this.nextName()), { values });
      this.inUse = first;
      this.setups = [first];
      void this.told(addSetup(first)).then(() => this.paint());
      return;
    }
    this.inUse = changed(this.inUse, { name, values });
    this.fresh = { name: name ?? this.fresh.name, values: { ...this.fresh.values, ...values } };
    void this.keep();
  }

  /** Writes what has been typed, at once; keys that come meanwhile go together into the next write. */
  keep() {
    this.keeping ??= this.keepAll().finally(() => {
      this.keeping = null;
      this.tellState(this.state);
    });
    return this.keeping;
  }

  async keepAll() {
    while (this.inUse && !isNothing(this.fresh)) {
      const { inUse, fresh } = this;
      [this.going, this.fresh] = [fresh, { values: {} }];
      await this.told(changeSetup(inUse, fresh));
      this.going = { values: {} };
      this.setups = this.setups.map((one) => (one.id === inUse.id ? changed(one, fresh) : one));
      hint(this.inUse);
    }
  }

  /** What is typed and not known to be on the phone. */
  unkept() {
    return { name: this.fresh.name ?? this.going.name, values: { ...this.going.values, ...this.fresh.values } };
  }

  /** The page ends, perhaps for good. */
  leave() {
    const part = this.unkept();
    if (this.inUse && !isNothing(part)) jot(this.inUse, part);
    void this.keep();
  }

  /** @param {Promise<import("../lib/store.js").Outcome>} writing */
  async told(writing) {
    write(part(this.element, "state"), this.words.setup_keeping);
    const { why } = await writing;
    this.state = why;
    if (!this.keeping) this.tellState(why);
  }

  /** @param {import("../lib/store.js").State} state */
  tellState(state) {
    this.state = state;
    if (state === "fine" && !this.isReady) return;
    const text = state === "fine" ? (this.inUse ? this.words.setup_kept : "") : this.words[`setup_state_${state}`];
    const line = part(this.element, "state");
    line.dataset.state = state;
    write(line, text);
  }

  // -- setups as a whole -------------------------------------------------------------------------------------------------------------

  /** @param {string} id  '' for none */
  async choose(id) {
    await this.keep();
    await this.told(useSetup(id));
    this.symbols = {};
    await this.read();
  }

  /** @param {Setup} setup */
  async add(setup) {
    await this.keep();
    await this.told(addSetup(setup));
    this.symbols = {};
    await this.read();
    const field = /** @type {HTMLInputElement} */ (part(this.element, "name-field"));
    field.focus();
    field.select();
  }

  async remove() {
    await this.keep();
    const gone = this.inUse;
    if (!gone) return;
    await this.told(removeSetup(gone));
    this.symbols = {};
    const undo = Object.assign(document.createElement("button"), { type: "button", textContent: this.words.setup_undo });
    undo.addEventListener("click", () => void this.bringBack(gone));
    part(this.element, "done").replaceChildren(fill(this.words.setup_deleted, { name: gone.name.trim() || this.words.setup_unnamed }), " ", undo);
    await this.read();
    undo.focus();
  }

  /** @param {Setup} setup  deleted a moment ago */
  async bringBack(setup) {
    await this.keep();
    await this.told(addSetup(setup));
    part(this.element, "done").replaceChildren(this.words.setup_undone);
    this.symbols = {};
    await this.read();
    /** @type {HTMLElement | null} */ (part(this.element, "list").querySelector("input:checked"))?.focus();
  }
}

/** @param {{id: string, name: string}} one @returns {HTMLElement} */
function option({ id, name }) {
  const label = document.createElement("label");
  const radio = Object.assign(document.createElement("input"), { type: "radio", name: "setup-in-use", value: id });
  const text = document.createElement("span");
  text.textContent = name;
  label.append(radio, text);
  return label;
}

/** @param {{name?: string, values: Record<string, string>}} part */
function isNothing({ name, values }) {
  return name === undefined && !Object.keys(values).length;
}
