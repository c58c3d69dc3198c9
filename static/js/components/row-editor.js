/**
 * Editing one row of a Figure: which row, the dock with its keys and units, on to the next row, and out again.
 * html[data-busy="editing"] while a row is edited: the style sheet lays the page out for it, and the update notice waits.
 */

import { part, write } from "./figure-paint.js";
import { InSight } from "./in-sight.js";
import { startPad } from "./number-pad.js";
import { UnitStrip } from "./unit-strip.js";

/** @typedef {import("./figure-paint.js").Row} Row */
/** @typedef {import("../lib/present.js").View} View */

export class RowEditor {
  /** @param {import("./sheet.js").Sheet} sheet */
  constructor(sheet) {
    this.sheet = sheet;
    this.dock = part(sheet.element, "dock");
    this.form = part(sheet.element, "form");
    /** @type {Row | null} */
    this.edited = null;
    /** @type {EventTarget | null} a field just opened, whose number is to be typed over */
    this.fresh = null;
    /** Whether a mouse button is down: the page must not scroll away under it, so a row is opened when it is let go. */
    this.isPressed = false;
    /** @type {unknown[]} what the dock's keys were set for last */
    this.setFor = [];
    this.strip = new UnitStrip(this.dock, sheet.words, ({ symbol }) => this.chooseUnit(symbol));
    this.giveBack = document.createElement("button");
    this.giveBack.type = "button";
    this.giveBack.className = "give-back";
    this.giveBack.textContent = sheet.words.figure_pad_give;
    this.giveBack.addEventListener("click", () => this.stopFinding());
  }

  async begin() {
    this.typeAlone();
    const { element, rows, words, presenter, view } = this.sheet;
    const curves = [...rows.values()].filter((row) => row.element.dataset.type === "points");
    if (curves.length) {
      const { startPoints } = await import("./points.js");
      for (const row of curves) startPoints(row, view.rows.find((/** @type {View} */ { name }) => name === row.control.name), words);
    }
    this.setBoard(false);
    this.sight = new InSight({
      bar: /** @type {HTMLElement} */ (document.querySelector(".bar")), slab: part(element, "slab"), head: part(element, "slab-head"), dock: this.dock,
    });
    startPad(this.dock, presenter.decimal, () => this.field(), (key) => this.act(key));
    this.listen();
  }

  /**
   * A browser that fills in forms reads all fields of a form again after each key in one of them, which takes longer than everything
   * done here. So a field belongs to a form of its own as long as it has the caret.
   */
  typeAlone() {
    const alone = document.createElement("form");
    alone.id = "typed-alone";
    alone.hidden = true;
    this.sheet.element.append(alone);
    this.form.addEventListener("focusin", ({ target }) => target instanceof HTMLInputElement && target.setAttribute("form", alone.id));
    this.form.addEventListener("focusout", ({ target }) => target instanceof HTMLInputElement && target.removeAttribute("form"));
  }

  listen() {
    const { form, dock, sheet } = this;
    form.addEventListener("submit", (event) => event.preventDefault());
    form.addEventListener("input", ({ target }) => this.hear(this.rowAt(target)));
    form.addEventListener("keydown", (event) => this.key(event));
    form.addEventListener("click", ({ target }) => this.tap(target));
    document.addEventListener("pointerdown", ({ pointerType }) => (this.isPressed = pointerType === "mouse"));
    for (const end of ["pointerup", "pointercancel"]) {
      document.addEventListener(end, () => {
        this.isPressed = false;
        this.closeIfLeft();
      });
    }
    document.addEventListener("focusin", ({ target }) => {
      if (!(target instanceof Element) || dock.contains(target)) return;
      if (!form.contains(target)) this.closeIfLeft();
      // A button in a row does its own work; a page that moved under the tap would take it away.
      else if (!this.isPressed && !target.closest("button")) this.open(this.rowAt(target));
    });
    dock.addEventListener("keydown", (event) => event.key === "Escape" && this.close());
    part(sheet.element, "problems").addEventListener("click", (event) => this.goToProblem(event));
  }

  /** @param {Row | null} row */
  hear(row) {
    if (!row) return;
    if (row !== this.edited) this.open(row);
    this.sheet.take(row);
  }

  // -- in and out -----------------------------------------------------------------------------------------------------------------

  /** @param {Row | null} row */
  open(row) {
    if (row && row === this.edited) return this.sight?.look(this.piece());
    if (!row) return;
    if (!(row.control instanceof HTMLInputElement) || row.control.readOnly) return this.closeIfLeft();
    this.leave();
    this.edited = row;
    row.element.classList.add("is-edited");
    document.documentElement.dataset.busy = "editing";
    this.dock.hidden = false;
    this.strip.open(false);
    this.sheet.repaint();
    this.sight?.look(this.piece());
    const field = this.field();
    if (this.fresh !== field) field?.select();
    this.fresh = field;
  }

  /** What must be in sight: the row, or of a curve the one point being typed. */
  piece() {
    const point = /** @type {HTMLElement | null | undefined} */ (this.field()?.closest(".points > div"));
    return point ?? this.edited?.element ?? null;
  }

  /** The row is edited no longer; its unit stands beside the number again, wherever it was typed. */
  leave() {
    const row = this.edited;
    this.edited = null;
    this.fresh = null;
    row?.element.classList.remove("is-edited");
    if (row) this.sheet.repaint();
  }

  close() {
    if (!this.edited) return;
    this.leave();
    this.dock.hidden = true;
    delete document.documentElement.dataset.busy;
    this.sight?.look(null);
  }

  /** Closes once the tap that took the focus elsewhere is over: what it was meant for must not move away under it. */
  closeIfLeft() {
    setTimeout(() => {
      const active = document.activeElement;
      const isOurs = active === null || active === document.body || this.dock.contains(active) || this.edited?.element.contains(active);
      if (!this.isPressed && !isOurs) this.close();
    });
  }

  /** After each answer: the dock shows what goes with the row as it now is. */
  follow() {
    const { unknown, rows, view } = this.sheet;
    const found = unknown && rows.get(unknown);
    if (found) found.element.append(this.giveBack);
    else this.giveBack.remove();
    const own = this.edited && view.rows.find((/** @type {View} */ { name }) => name === this.edited?.control.name);
    if (!own) return;
    const symbol = this.sheet.symbols[own.name];
    const unit = own.units.find((/** @type {View} */ one) => one.symbol === symbol)?.id ?? own.unit_id;
    this.strip.show(own.units, unit);
    this.setKeys(own, unit);
    this.sight?.soon();
  }

  /** The typing pauses: what was given up for a longer answer comes back. */
  rest() {
    if (this.edited) this.sight?.loosen();
  }

  /** Keys that have a meaning in this row only. @param {View} own @param {string} unit  id of the one its number is in */
  setKeys(own, unit) {
    const { presenter, units, words, unknown } = this.sheet;
    const now = [own.name, own.whole, own.is_wanted, unit, unknown, this.field(), this.sheet.wanted.element.hidden];
    if (now.every((one, n) => one === this.setFor[n])) return;
    this.setFor = now;
    const take = presenter.figure.takes.find(({ name }) => name === own.name);
    const key = (/** @type {string} */ name) => /** @type {HTMLButtonElement} */ (this.dock.querySelector(`[data-key="${name}"]`));
    // Below nought in the unit in use: 253 K is no negative number, -20 °C is.
    key("sign").disabled = take !== undefined && !own.signed && !(take.low < (units[unit]?.offset ?? 0));
    key("fraction").disabled = own.whole;
    key("find").disabled = own.is_wanted || !["quantity", "count"].includes(own.type);
    const isLast = !this.next();
    write(key("next"), isLast ? words.figure_pad_done : words.figure_pad_next);
    this.dock.toggleAttribute("data-last", isLast);
  }

  // -- keys of the dock -------------------------------------------------------------------------------------------------------------

  /** @param {string} key  of the dock, that does more than type */
  act(key) {
    if (!this.edited) return;
    if (key === "find") this.find(this.edited.control.name);
    else if (key === "board") this.callBoard();
    else this.goOn(key === "next");
  }

  /** @param {string} symbol */
  chooseUnit(symbol) {
    if (this.edited) this.sheet.takeUnit(this.edited, symbol);
    this.field()?.focus({ preventScroll: true });
  }

  /** @param {boolean} isNext  on to the next field, if there is one; else done */
  goOn(isNext) {
    const next = isNext && this.next();
    if (next) return this.enter(next);
    this.field()?.blur();
    this.close();
  }

  /** The field after the present one that can be typed in. */
  next() {
    const all = /** @type {HTMLInputElement[]} */ ([...this.form.querySelectorAll("input")]);
    const open = all.filter((input) => !input.readOnly && input.type === "text" && !input.closest("[hidden], .backwards"));
    const at = open.indexOf(/** @type {HTMLInputElement} */ (this.field()));
    return at < 0 ? undefined : open[at + 1];
  }

  /** @param {HTMLInputElement} field */
  enter(field) {
    field.focus({ preventScroll: true });
    field.select();
  }

  /** The phone's own keyboard in place of the keys, for a pasted text or a unit typed behind the number; and back. */
  callBoard() {
    const field = this.field();
    this.setBoard(this.dock.dataset.board === undefined);
    this.strip.open(false);
    // Only a fresh focus makes a phone look at the input mode again.
    this.fresh = field;
    field?.blur();
    field?.focus({ preventScroll: true });
    this.sight?.look(this.piece());
  }

  /** @param {boolean} isCalled  whether the phone's own keyboard is wanted */
  setBoard(isCalled) {
    this.dock.toggleAttribute("data-board", isCalled);
    this.dock.querySelector('[data-key="board"]')?.setAttribute("aria-pressed", String(isCalled));
    for (const input of this.form.querySelectorAll("input")) input.inputMode = isCalled ? "text" : "none";
  }

  /** @param {string} name */
  find(name) {
    this.leave();
    this.sheet.find(name);
    this.enter(/** @type {HTMLInputElement} */ (this.sheet.wanted.control));
  }

  stopFinding() {
    const row = this.sheet.rows.get(this.sheet.unknown);
    this.sheet.stopFinding();
    if (row) this.enter(/** @type {HTMLInputElement} */ (row.control));
  }

  // -- keyboard, taps and links -------------------------------------------------------------------------------------------------------

  /** @param {KeyboardEvent} event */
  key(event) {
    if (event.key === "Escape") this.close();
    else if (event.key === "Enter" && event.target instanceof HTMLInputElement && !event.isComposing) {
      event.preventDefault();
      this.open(this.rowAt(event.target));
      this.goOn(true);
    }
  }

  /** A tap anywhere on a row is meant for its field. @param {EventTarget | null} target */
  tap(target) {
    const row = this.rowAt(target);
    if (!row || !(target instanceof Element) || target.closest("select, button, a")) return;
    if (target instanceof HTMLInputElement) {
      this.open(row);
      // The caret was set after the field was opened: the first tap still means the whole number.
      if (this.fresh === target) target.select();
      this.fresh = null;
    } else if (!target.closest("label")) row.control.focus({ preventScroll: true });
  }

  /** @param {Event} event */
  goToProblem(event) {
    const link = /** @type {Element} */ (event.target).closest("a");
    const row = link && this.rows().find(({ element }) => `#${element.id}` === link.hash);
    if (!row) return;
    event.preventDefault();
    row.control.focus({ preventScroll: true });
    if (!this.edited) row.element.scrollIntoView({ block: "center" });
  }

  rows() {
    return [...this.sheet.rows.values()];
  }

  /** @param {EventTarget | null} target */
  rowAt(target) {
    const element = target instanceof Element ? target.closest("[data-row]") : null;
    return this.rows().find((row) => row.element === element) ?? null;
  }

  /** The field being edited: the row's own, or the one of a curve's points that has the caret. @returns {HTMLInputElement | null} */
  field() {
    const active = document.activeElement;
    if (active instanceof HTMLInputElement && this.edited?.element.contains(active)) return active;
    const control = this.edited?.control;
    return control instanceof HTMLInputElement ? control : null;
  }
}
