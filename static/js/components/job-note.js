/**
 * The note of a step. Kept 400 ms after the last key and when the page goes. Where another window has written a note meanwhile, both
 * texts stand there until one is chosen.
 */

import { settleNote, writeNote } from "../lib/step-deeds.js";
import { notesBeside } from "../lib/job-list.js";
import { newId } from "../lib/job-store.js";
import { labelled, renew, say } from "./job-kit.js";
import { when } from "./job-words.js";
import { button, made } from "./made.js";

const PAUSE_MS = 400;
const MOST = 100000;

export class Note {
  /** @param {import("./job-card.js").Card} card @param {string} step */
  constructor(card, step) {
    this.card = card;
    this.step = step;
    const note = card.job.steps[step].note;
    this.field = made("textarea", { rows: 2, maxlength: MOST, "data-key": `note ${step}` }, note);
    this.beside = made("div", { class: "card-beside" });
    this.element = made("div", { class: "card-note" }, labelled(card.words.card_note, this.field), this.beside);
    /** The text that the person began from, or saved last. */
    this.base = note;
    /** The text that is known to be kept. */
    this.safe = note;
    /** Id for an entry, should another window have changed the note meanwhile. */
    this.other = newId();
    /** The last save of this stretch of typing, '' for none. @type {string} */
    this.last = "";
    this.pausing = 0;
    /** @type {Promise<unknown>} */
    this.keeping = Promise.resolve();
    card.leaving.add(this);
    this.field.addEventListener("input", () => this.typed());
    this.field.addEventListener("change", () => void this.keep());
    this.fit();
  }

  /** Another stretch of typing: its saves are undone as one. */
  fresh() {
    this.other = newId();
    this.last = "";
  }

  typed() {
    this.fit();
    clearTimeout(this.pausing);
    this.pausing = setTimeout(() => void this.keep(), PAUSE_MS);
  }

  fit() {
    this.field.rows = Math.min(12, Math.max(2, this.field.value.split("\n").length + 1));
  }

  /** @returns {Promise<unknown>} */
  keep() {
    clearTimeout(this.pausing);
    const text = this.field.value;
    if (text === this.base) return this.keeping;
    const [base, joins, id] = [this.base, this.last, newId()];
    this.base = text;
    this.last = id;
    const given = { base, other: this.other, ...(joins ? { joins } : {}) };
    this.keeping = this.card.act((job) => writeNote(job, this.step, text, given), { id, isQuiet: true }).then(() => (this.safe = text));
    return this.keeping;
  }

  /** @returns {import("../lib/job-jot.js").Jotted | null} */
  unkept() {
    const { step, field, safe, other } = this;
    return field.value === safe ? null : { step, text: field.value, base: safe, other };
  }

  paint() {
    const { card, step, field } = this;
    const { note } = card.job.steps[step];
    const beside = notesBeside(card.job, step);
    const isMine = field.value !== this.base || document.activeElement === field || beside.length > 0;
    if (!isMine && field.value !== note) {
      field.value = this.base = this.safe = note;
      this.fresh();
      this.fit();
    }
    this.beside.hidden = !beside.length;
    renew(this.beside, [note, beside], () => beside.flatMap((one) => this.choice(note, one)), field);
  }

  /** @param {string} note @param {import("../lib/job.js").Entry & {id: string}} entry */
  choice(note, { id, value, at }) {
    const { words } = this.card;
    const texts = [["card_note_here", note, ""], ["card_note_there", value, when(at)]].map(([key, text, time]) => made("div", { class: "card-version" }, made("b", {}, say(words, key, { at: time })), made("p", {}, text)));
    const pick = (/** @type {string} */ key, /** @type {string} */ text) => button(words[key], () => this.settle(id, text));
    const acts = made("div", { class: "card-acts" }, pick("card_note_first", note), pick("card_note_second", value), pick("card_note_both", [note, value].filter(Boolean).join("\n")));
    return [made("p", {}, made("b", {}, words.card_note_two)), ...texts, acts];
  }

  /** @param {string} entry @param {string} text */
  async settle(entry, text) {
    const at = Date.now();
    this.field.value = this.base = this.safe = text;
    this.fresh();
    this.fit();
    await this.card.act((job) => settleNote(job, entry, text, at), { at });
    this.field.focus({ preventScroll: true });
  }

  end() {
    void this.keep();
    this.card.leaving.delete(this);
  }
}
