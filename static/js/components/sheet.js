/**
 * A Figure's page at work. State goes one way: what is typed -> present -> paint. What is typed is all the state there is; the
 * address holds a copy of it, so that a reload or a shared link shows the same.
 */

import { pause as idle } from "../lib/idle.js";
import { isNumber, splitQuantity } from "../lib/number.js";
import { soon, Turns } from "../lib/turns.js";
import { fill, paintAnswer, paintFolded, paintOpen, paintRemedies, paintRow, part, prepareWorking, rowOf, write } from "./figure-paint.js";
import { paintFurther } from "./further.js";
import { RowEditor } from "./row-editor.js";
import { startShare } from "./share.js";
import { startSpeak } from "./speak.js";
import { inFull, inShort, spoken } from "./telling.js";

/** @typedef {import("./figure-paint.js").Row} Row */
/** @typedef {import("../lib/present.js").View} View */
/** @typedef {import("../lib/present.js").Presenter} Presenter */
/** @typedef {Record<string, string>} Words */

const LONGEST = 200; // characters of an input in the address; more is no number
const QUIET_MS = 400; // the address and the screen reader follow when the typing pauses
const STRIDE_MS = 6; // of work in the background, before a key has its turn
const SOLVE = "solve";
const HELD = "held."; // in front of an input's name: it is of the set-up held to compare with

export class Sheet {
  /** @param {HTMLElement} element @param {Words} words @param {Presenter} presenter */
  constructor(element, words, presenter) {
    this.element = element;
    this.words = words;
    this.presenter = presenter;
    this.units = presenter.units;
    /** @type {Record<string, string>} what was typed, by name of the input or of the wanted answer; all else stands at its default */
    this.typed = {};
    /** @type {Record<string, string>} the same as it stands in the field, where the unit may stand beside it */
    this.raw = {};
    /** @type {Record<string, string>} symbol of the unit that each row's number is in */
    this.symbols = {};
    /** Name of the input to be found, '' while none is. */
    this.unknown = "";
    /** Name of the answer that stands first: the Figure's own, or the one that only shows the row typed last in its units. */
    this.lead = "";
    /** @type {View} */
    this.view = {};
    /** @type {import("./from-setup.js").FromSetup | null} what the person's own setup says */
    this.setup = null;
    /** @type {import("./sweeps.js").Sweeps | null} what is drawn, once its script is there */
    this.sweeps = null;
    /** @type {Record<string, string> | null} the set-up that the address holds to compare with */
    this.heldAtFirst = null;
    this.pause = 0;
    const [picture, further] = ["sweeps", "further-section"].map((name) => part(element, name));
    /** The picture comes with the answer, what stands below follows it. */
    this.below = new Turns(
      [() => this.sweeps?.show(), picture], [() => this.paintBelow(), further, ...element.querySelectorAll(":scope > .fold")],
      [() => this.sweeps?.showRest(), picture],
    );
    /** @type {Map<HTMLElement, unknown[]>} what each row was painted from last */
    this.painted = new Map();
    this.hasActed = false;
    /** Whether how far off the answers may be and the remedies are still to come. */
    this.isComing = false;
    /** Whether the formulas below can follow the numbers. */
    this.isPrepared = false;
    /** @type {Map<string, Row>} */
    this.rows = new Map();
    this.gatherRows();
    // The wanted answer is asked for in a form of its own without this script; with it, it is the first of the rows.
    this.wanted = /** @type {Row} */ ([...this.rows.values()].find(({ element: row }) => row.classList.contains("is-wanted")));
    part(element, "rows").prepend(this.wanted.element);
    this.editor = new RowEditor(this);
  }

  gatherRows() {
    for (const element of this.element.querySelectorAll("[data-row]")) {
      const row = rowOf(/** @type {HTMLElement} */ (element));
      this.rows.set(row.control.name, row);
    }
  }

  /** @param {URLSearchParams} query */
  async begin(query) {
    this.readQuery(query);
    this.element.dataset.live = "";
    this.setup?.attach(this);
    this.answer();
    this.element.addEventListener("toggle", () => this.paintUnfolded(), true);
    window.addEventListener("beforeprint", () => this.paintAll());
    await this.editor.begin();
    void idle().then(() => this.beginRest());
  }

  /** A setup that no word was left of comes while the page is at work: its numbers are taken as long as nobody has typed. @param {import("./from-setup.js").FromSetup | null} setup */
  join(setup) {
    if (!setup) return;
    if (this.hasActed) setup.waits();
    this.setup = setup;
    setup.attach(this);
    if (setup.setup || setup.late) this.answer();
  }

  /** What nobody needs in the first moment. */
  beginRest() {
    const take = part(this.element, "take-along");
    startShare(take, this.words, { text: () => inFull(this.told()), title: document.title, address: () => this.address(true) });
    startSpeak(take, this.words, { spoken: () => spoken(this.told()) });
    void this.beginKeep(take);
    if (this.presenter.figure.sweeps.length) void this.beginSweeps();
  }

  /** @param {HTMLElement} take  behind which the way to the job card stands; its script comes by itself, and the store later still */
  async beginKeep(take) {
    const { startKeep } = await import("./keep-figure.js");
    const { figure, text } = this.presenter;
    startKeep(take, this.words, {
      figure: figure.id, title: text.title, query: () => this.query().toString(), answer: () => inShort(this.told()), isAnswer: () => this.view.state === "ok",
    });
  }

  async beginSweeps() {
    const { Sweeps } = await import("./sweeps.js");
    const own = part(this.element, "sweeps");
    this.sweeps = new Sweeps(this, own.dataset.plotter ?? "");
    await this.sweeps.begin(this.heldAtFirst);
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
    const held = takes.flatMap(({ name }) => {
      const text = query.get(HELD + name);
      return text === null ? [] : [[name, text.slice(0, LONGEST)]];
    });
    if (held.length) this.heldAtFirst = Object.fromEntries(held);
  }

  // -- typed -> answer -> page ----------------------------------------------------------------------------------------------------

  answer() {
    // Where a run is gone along, all but the answers themselves waits until the typing pauses.
    this.presenter.isQuick = this.isComing = this.presenter.calculator.runSweep !== undefined;
    this.presenter.ready = null;
    this.show();
    clearTimeout(this.pause);
    this.pause = window.setTimeout(() => this.afterwards(), this.hasActed ? QUIET_MS : 0);
  }

  /** What is typed, and below it what the setup says. */
  allAsked() {
    return this.setup?.under(this.typed) ?? this.typed;
  }

  /** Whether the page shows the very numbers that the server put there, or the saved copy has. */
  isAsServed() {
    return !this.hasActed && !this.unknown && !Object.keys(this.allAsked()).length;
  }

  show() {
    this.view = this.presenter.view(this.allAsked(), this.unknown);
    this.repaint();
  }

  /** What there is to show, with the row that is now edited. */
  repaint() {
    const { view } = this;
    const { edited } = this.editor;
    if (edited) this.lead = this.leadFor(edited.control.name);
    const isServed = this.isAsServed();
    const { isQuick } = this.presenter;
    // Until all is known, what was served says more than a quick view could.
    const stands = isQuick && isServed;
    if (!stands) paintAnswer(this.element, view, this.lead, this.words, isQuick);
    if (view.state !== "ok" || !this.isComing) paintRemedies(this.element, view);
    else if (!isServed) part(this.element, "remedies").classList.add("is-coming");
    this.wanted.element.hidden = !this.unknown;
    for (const own of view.rows) this.paint(own, edited?.control.name === own.name);
    this.setup?.paint();
    this.editor.follow();
    if (this.hasActed || edited) this.below.ask();
    else if (!stands) this.paintBelow();
  }

  paintBelow() {
    paintFurther(this.element, this.view, this.lead);
    this.paintUnfolded();
  }

  /** What lies folded away is written when it is unfolded: it holds every number in every unit, and nobody sees it. */
  paintUnfolded() {
    if (!this.element.querySelector(":scope > .fold[open]")) return;
    this.prepare();
    paintOpen(this.element, this.view, this.words);
  }

  /** Paper shows what is folded away, too. */
  paintAll() {
    this.prepare();
    paintFurther(this.element, this.view, this.lead);
    paintFolded(this.element, this.view, this.words);
  }

  prepare() {
    if (!this.isPrepared) prepareWorking(this.element);
    this.isPrepared = true;
  }

  /** What a quick view left out, piece by piece, as long as nobody types on. */
  async settle() {
    const { presenter } = this;
    if (!presenter.isQuick) return;
    if (!(await this.walk(presenter.settling()))) return;
    presenter.isQuick = false;
    this.show();
    if (!(await this.walk(presenter.addRemedies(this.view)))) return;
    this.isComing = false;
    paintRemedies(this.element, this.view);
  }

  /** Goes the steps, some a task. @param {Generator<null, void>} steps @returns {Promise<boolean>} whether all were gone before another answer came */
  async walk(steps) {
    const { view } = this;
    while (view === this.view) {
      const start = performance.now();
      while (performance.now() - start < STRIDE_MS) if (steps.next().done) return true;
      await new Promise((resolve) => {
        soon(() => resolve(null));
      });
    }
    return false;
  }

  /** The answer that is the row's own number in another unit, where the Figure has one. @param {string} name */
  leadFor(name) {
    return this.presenter.figure.gives.find(({ unlike }) => unlike === name)?.name ?? "";
  }

  /** @param {View} own  a row of the view @param {boolean} isTyped */
  paint(own, isTyped) {
    const row = own.is_wanted ? this.wanted : this.rows.get(own.name);
    if (!row) return;
    // The presenter gives the same object while a row stays the same.
    const from = [own, this.symbols[own.name], this.raw[own.name], isTyped, this.view.about === own.name && this.view.sentence];
    if (this.painted.get(row.element)?.every((one, n) => one === from[n])) return;
    if (own.is_wanted) {
      row.control.name = own.name;
      write(row.label, fill(this.words.figure_wanted, { label: own.label }));
      write(row.note, own.sort);
    }
    // An empty or unreadable field keeps the unit that its number was in.
    if (!own.problem || this.symbols[own.name] === undefined) this.symbols[own.name] = this.units[own.unit_id]?.symbol ?? "";
    paintRow(row, this.view, own, { unit: this.symbols[own.name], raw: this.raw[own.name], isTyped });
    from[1] = this.symbols[own.name];
    if (isTyped) this.painted.delete(row.element);
    else this.painted.set(row.element, from);
  }

  /** When the typing pauses: the address, the window's title, what is out of sight, and what a screen reader says. */
  afterwards() {
    const { pause: mine } = this;
    void this.settle().then(() => {
      this.saySettled();
      if (mine === this.pause) this.below.rest();
    });
    this.editor.rest();
    try {
      history.replaceState(history.state, "", this.address());
    } catch {
      // Some browsers limit how often, and a file opened from disk may not: the page works on without it.
    }
    const head = fill(this.words.site_head, { title: this.presenter.text.title });
    if (this.view.state === "ok" && document.title !== head) document.title = head;
  }

  /** What a screen reader says, once nothing more is going to change. */
  saySettled() {
    const aloud = part(this.element, "aloud");
    const text = inShort(this.told());
    if (this.hasActed && aloud.textContent !== text) aloud.textContent = text;
  }

  /** Every input as it stands, typed or not. @returns {Record<string, string>} */
  allTyped() {
    const rows = this.view.rows.filter((/** @type {View} */ { is_wanted }) => !is_wanted);
    return Object.fromEntries(rows.map((/** @type {View} */ { name, text }) => [name, text]));
  }

  told() {
    return { view: this.view, lead: this.lead, words: this.words, units: this.units, title: this.presenter.text.title };
  }

  /**
   * This page with all its numbers, the untouched ones too: a link must give the same answer after a default has changed.
   * The plain address while nothing was typed; what the setup says goes into one that is passed on.
   * @param {boolean} [isShared]
   */
  address(isShared = false) {
    const held = Object.keys(this.sweeps?.held?.typed ?? {}).length;
    const isTold = Object.keys(this.typed).length || this.unknown || held || (isShared && this.setup?.counts(this.typed));
    const asked = isTold ? this.query().toString() : "";
    return location.origin + location.pathname + (asked && `?${asked}`) + location.hash;
  }

  /** All numbers as they stand, for an address. */
  query() {
    const query = new URLSearchParams();
    for (const { name, text, is_unknown, brought } of this.view.rows) if (!is_unknown && !brought) query.set(name, this.typed[name] ?? text);
    if (this.unknown) query.set(SOLVE, this.unknown);
    for (const [name, text] of Object.entries(this.sweeps?.held?.typed ?? {})) query.set(HELD + name, text);
    return query;
  }

  // -- what is typed ----------------------------------------------------------------------------------------------------------------

  /** @param {Row} row  whose field has changed */
  take({ element, control }) {
    const { name, value } = control;
    this.hasActed = true;
    this.raw[name] = value;
    this.typed[name] = ["quantity", "count"].includes(element.dataset.type ?? "") ? this.withUnit(name, value) : value;
    this.answer();
  }

  /** The typed number with the unit that stands beside it; a text that is no number, or has a unit of its own, as it is. @param {string} name @param {string} value */
  withUnit(name, value) {
    const symbol = this.symbols[name];
    return symbol && isNumber(value) ? `${value} ${symbol}` : value;
  }

  /** Says what the typed number was in; the number stays. @param {Row} row @param {string} symbol */
  takeUnit(row, symbol) {
    const { control } = row;
    this.symbols[control.name] = symbol;
    control.value = splitQuantity(control.value)[0];
    this.take(row);
  }

  /** Makes an input the unknown; the answer it gave so far becomes the wanted one, to be typed over. @param {string} name */
  find(name) {
    this.keepFound();
    this.unknown = name;
    this.answer();
    // From here on it is typed: it must not move when another row changes.
    const wanted = this.view.rows.find((/** @type {View} */ row) => row.is_wanted);
    if (wanted?.text) this.set(wanted.name, wanted.text);
    this.answer();
  }

  /** The unknown is typed again; what was found goes on as if it had been typed. */
  stopFinding() {
    this.keepFound();
    delete this.typed[this.wanted.control.name];
    this.unknown = "";
    this.answer();
  }

  keepFound() {
    if (this.unknown && this.view.found) this.set(this.unknown, `${this.view.found.number} ${this.view.found.unit}`);
  }

  /** @param {string} name @param {string} text */
  set(name, text) {
    this.typed[name] = text.trim();
    delete this.raw[name];
  }
}
