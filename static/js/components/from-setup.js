/**
 * A Figure's page and the setup in use: which numbers came from it, back to its number where another was typed, and results put
 * into it. What the address says counts first, then the setup, then the Figure's own default.
 */

import { changeSetup, changed, setupInUse, valuesFor } from "../lib/setup.js";
import { watchOthers } from "../lib/store.js";
import { fill, part, write } from "./figure-paint.js";

/** @typedef {import("../lib/setup.js").Setup} Setup */
/** @typedef {import("./sheet.js").Sheet} Sheet */
/** @typedef {import("../lib/present.js").View} View */
/** @typedef {{field: string, label: string, text: string}} Offer  a result that a field can take */

/** The first answer waits so long for the store; after that the Figure's own numbers stand until the person says otherwise. */
const PATIENCE_MS = 500;

export class FromSetup {
  /** Reads the setup in use, as far as the store answers in time. */
  static async open() {
    const made = new FromSetup();
    const reading = setupInUse().catch(() => null);
    const inTime = await Promise.race([reading, new Promise((done) => setTimeout(done, PATIENCE_MS))]);
    if (inTime !== undefined) made.setup = /** @type {Setup | null} */ (inTime);
    else void reading.then((late) => made.offerLate(late));
    return made;
  }

  constructor() {
    /** @type {Setup | null} the one in use */
    this.setup = null;
    /** @type {Sheet | null} */
    this.sheet = null;
    /** @type {Setup | null} read too late to be taken unasked */
    this.late = null;
    /** @type {{offer: Offer, old: string, isKept: boolean} | null} what was put into the setup last, for undo */
    this.done = null;
    /** @type {Map<string, HTMLElement[]>} a row's mark and its way back, by name of the input */
    this.marks = new Map();
    /** @type {HTMLElement | null} where results are offered to the setup */
    this.offers = null;
    /** @type {HTMLElement | null} what was done, and undo */
    this.told = null;
  }

  /** @param {Sheet} sheet */
  attach(sheet) {
    this.sheet = sheet;
    this.offers = made("section", "into-setup");
    this.offers.hidden = true;
    this.offers.setAttribute("aria-label", sheet.words.site_setup);
    this.told = made("p", "setup-told");
    this.told.setAttribute("role", "status");
    part(sheet.element, "take-along").before(this.offers, this.told);
    const again = () => void this.readAgain();
    watchOthers(again);
    window.addEventListener("pageshow", ({ persisted }) => persisted && again());
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && again());
  }

  async readAgain() {
    const now = await setupInUse();
    if (JSON.stringify(now) === JSON.stringify(this.setup)) return;
    this.setup = now;
    this.late = null;
    this.sheet?.answer();
  }

  /** What is typed with the setup's numbers below it. @param {Record<string, string>} typed */
  under(typed) {
    return this.setup && this.sheet ? { ...valuesFor(this.sheet.presenter.figure, this.setup, typed), ...typed } : typed;
  }

  /** Whether any number on the page is the setup's. @param {Record<string, string>} typed */
  counts(typed) {
    return Object.keys(this.under(typed)).length > Object.keys(typed).length;
  }

  /** After each answer. */
  paint() {
    const { sheet, setup } = this;
    if (!sheet) return;
    const values = setup ? valuesFor(sheet.presenter.figure, setup, sheet.typed) : {};
    for (const { name, setup: field } of sheet.presenter.figure.takes) if (field) this.mark(name, values[name]);
    this.paintOffers();
  }

  // -- rows -----------------------------------------------------------------------------------------------------------------------

  /** @param {string} name  of an input @param {string | undefined} text  the setup's number for it */
  mark(name, text) {
    const sheet = /** @type {Sheet} */ (this.sheet);
    const row = sheet.rows.get(name);
    if (!row) return;
    const typed = sheet.typed[name];
    const isWanted = text !== undefined && sheet.unknown !== name;
    const isFrom = isWanted && (typed === undefined || typed.trim() === text.trim());
    const [from, back] = this.marksOf(row, name, isWanted);
    if (!from || !back) return;
    from.hidden = !isFrom;
    back.hidden = !isWanted || isFrom;
    const fields = { name: this.name(), value: this.shown(name, text ?? ""), label: row.label.textContent ?? "" };
    write(from, isFrom ? fill(sheet.words.setup_from, fields) : "");
    write(back, fill(sheet.words.setup_take_back, fields));
    const long = fill(sheet.words.setup_take_back_long, fields);
    if (back.getAttribute("aria-label") !== long) back.setAttribute("aria-label", long);
  }

  /** The mark and the way back of a row, made when they are first needed. @param {import("./figure-paint.js").Row} row @param {string} name @param {boolean} isWanted */
  marksOf({ element, control, echo }, name, isWanted) {
    const there = this.marks.get(name);
    if (there || !isWanted) return there ?? [];
    const from = made("p", "from-setup");
    from.id = `take-${name}-from`;
    control.setAttribute("aria-describedby", `${control.getAttribute("aria-describedby") ?? ""} ${from.id}`.trim());
    const back = button("to-setup", () => this.takeBack(name));
    echo.after(from, back);
    this.marks.set(name, [from, back]);
    return [from, back];
  }

  /** @param {string} name  of an input whose row goes back to the setup's number */
  takeBack(name) {
    const sheet = /** @type {Sheet} */ (this.sheet);
    sheet.hasActed = true;
    delete sheet.typed[name];
    delete sheet.raw[name];
    sheet.answer();
    // The button is gone: without this a keyboard would begin anew at the top of the page.
    sheet.rows.get(name)?.control.focus({ preventScroll: true });
  }

  /** @param {string} name @param {string} text  as a person would read it: of a choice its label */
  shown(name, text) {
    const row = this.sheet?.view.rows.find((/** @type {View} */ one) => one.name === name);
    return row?.options.find((/** @type {View} */ { id }) => id === text)?.label ?? text;
  }

  /** Somebody is typing already: what was read is not taken unasked. */
  waits() {
    this.late = this.late ?? this.setup;
    this.setup = null;
  }

  /** @param {Setup | null} late */
  offerLate(late) {
    if (!late || this.setup) return;
    this.late = late;
    this.paint();
  }

  takeLate() {
    this.setup = this.late;
    this.late = null;
    this.sheet?.answer();
  }

  name() {
    const { words } = /** @type {Sheet} */ (this.sheet);
    return (this.setup ?? this.late)?.name.trim() || words.setup_unnamed;
  }

  // -- results --------------------------------------------------------------------------------------------------------------------

  /** What can be put into the setup now: the input found, else the answers. @returns {Offer[]} */
  results() {
    const { presenter, view, unknown } = /** @type {Sheet} */ (this.sheet);
    const { takes, gives } = presenter.figure;
    const shown = unknown ? [view.found] : view.answers;
    /** @type {{name: string, setup?: string}[]} */
    const all = unknown ? takes : gives;
    return all.flatMap(({ name, setup: field }) => {
      const answer = field && shown.find((/** @type {View | null} */ one) => one?.name === name);
      return answer ? [{ field, label: presenter.text.setup[field], text: `${answer.number} ${answer.unit}`.trim() }] : [];
    });
  }

  paintOffers() {
    const { sheet, setup, late, offers } = this;
    if (!sheet || !offers) return;
    const takes = sheet.presenter.figure.takes.some((take) => take.setup && late?.values[take.setup] !== undefined);
    /** @type {HTMLElement[]} */
    const pieces = late && takes ? [button("", () => this.takeLate(), fill(sheet.words.setup_take_all, { name: this.name() }))] : [];
    const isTold = (/** @type {Offer} */ { field, text }) => this.done?.offer.field === field && this.done.offer.text === text;
    if (setup && sheet.view.state === "ok") pieces.push(...this.results().filter((offer) => !isTold(offer)).map((offer) => this.offer(offer)));
    const text = pieces.map(({ textContent }) => textContent).join();
    offers.hidden = !pieces.length;
    // The same buttons stay: one that has the focus must not be taken away under a finger.
    if (offers.dataset.shown !== text) offers.replaceChildren(...pieces);
    offers.dataset.shown = text;
  }

  /** @param {Offer} offer @returns {HTMLElement} */
  offer(offer) {
    const { words } = /** @type {Sheet} */ (this.sheet);
    const old = this.setup?.values[offer.field];
    const fields = { name: this.name(), label: offer.label, value: offer.text, old: old ?? "" };
    if (old?.trim() === offer.text) return made("p", "", fill(words.setup_put_same, fields));
    const made_ = button("put", () => void this.put(offer), fill(words.setup_put, fields));
    made_.append(" ", made("span", "", fill(old === undefined ? words.setup_put_new : words.setup_put_replaces, fields)));
    return made_;
  }

  /** @param {Offer} offer */
  async put(offer) {
    const old = this.setup?.values[offer.field] ?? "";
    this.done = { offer, old, isKept: true };
    this.done.isKept = await this.change(offer.field, offer.text);
    this.tell();
  }

  /** @param {string} field @param {string} text @returns {Promise<boolean>} whether it is on the phone */
  async change(field, text) {
    const setup = /** @type {Setup} */ (this.setup);
    this.setup = changed(setup, { values: { [field]: text } });
    this.sheet?.answer();
    const { kept } = await changeSetup(setup, { values: { [field]: text } });
    return kept;
  }

  /** Says what was done, with the way back. */
  tell() {
    const { sheet, told, done } = this;
    if (!sheet || !told || !done) return;
    const { offer, old, isKept } = done;
    const { words } = sheet;
    const fields = { name: this.name(), label: offer.label, value: offer.text, old: old || words.setup_not_entered };
    const undo = button("", () => void this.undo(), fill(words.setup_put_undo, fields));
    told.replaceChildren(fill(isKept ? words.setup_put_done : words.setup_put_failed, fields), " ", undo);
    undo.focus({ preventScroll: true });
  }

  async undo() {
    const { sheet, told, done } = this;
    if (!sheet || !told || !done) return;
    this.done = null;
    await this.change(done.offer.field, done.old);
    told.replaceChildren(sheet.words.setup_undone);
    const put = /** @type {HTMLElement | null | undefined} */ (this.offers?.querySelector(".put"));
    put?.focus({ preventScroll: true });
  }
}

/** @param {string} tag @param {string} name  class @param {string} [text] @returns {HTMLElement} */
function made(tag, name, text = "") {
  const element = document.createElement(tag);
  if (name) element.className = name;
  element.textContent = text;
  return element;
}

/** @param {string} name @param {() => void} act @param {string} [text] */
function button(name, act, text = "") {
  const element = /** @type {HTMLButtonElement} */ (made("button", name, text));
  element.type = "button";
  element.addEventListener("click", act);
  return element;
}
