/**
 * A caution sheet is confirmed by two taps in two places: where things are made ready, and at its end. It then counts for one job
 * card, that of the address, else the one in use, else for work without one, until it lapses. What is shown is read from the
 * phone each time: another window may have confirmed, or said that work is interrupted.
 */

import { confirm, CONFIRMED_MS, isInForce, lastConfirmed, takeBack } from "../lib/confirmed.js";
import { jobMeant } from "../lib/job-in-use.js";
import { watchOthers, watchState } from "../lib/store.js";
import { whenInWords } from "../lib/when.js";
import { fill, part, write } from "./figure-paint.js";

/** @typedef {{id: string, name: string, lacks: string}} Card  id: '' for none; lacks: as in job-in-use.js */

/** @param {HTMLElement} element  data-sheet: its id @param {import("../main.js").Options} options */
export async function start(element, { words, root }) {
  await new Confirmation(element, words, `${root}${document.documentElement.lang}/`).begin();
}

class Confirmation {
  /** @param {HTMLElement} element @param {Record<string, string>} words @param {string} base  way to the home page of the language */
  constructor(element, words, base) {
    this.element = element;
    this.words = words;
    this.base = base;
    this.sheet = element.dataset.sheet ?? "";
    this.first = /** @type {HTMLElement} */ (document.querySelector("[data-part=first-place]"));
    this.ticks = /** @type {NodeListOf<HTMLInputElement>} */ (document.querySelectorAll(".ticks input"));
    /** @type {Card} */
    this.card = { id: "", name: "", lacks: "" };
    /** When the first tap came, 0: not yet. It lapses like the whole. */
    this.firstAt = 0;
    /** When the sheet was last confirmed, in force or not; 0: never, or taken back. */
    this.at = 0;
    /** @type {import("../lib/store.js").State} */
    this.state = "fine";
    this.lapsing = 0;
    /** @type {Promise<void>} the newest reading of the phone */
    this.reading = Promise.resolve();
  }

  async begin() {
    watchState((state) => this.tellState(state));
    await this.again();
    this.show();
    this.listen();
  }

  listen() {
    part(this.first, "first").addEventListener("click", () => this.tapFirst());
    part(this.element, "second").addEventListener("click", () => void this.tapSecond());
    part(this.element, "take-back").addEventListener("click", () => void this.takeBack());
    this.ticks.forEach((tick) => tick.addEventListener("change", () => this.paintCount()));
    const again = () => void this.again();
    watchOthers(again);
    window.addEventListener("pageshow", ({ persisted }) => persisted && again());
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && again());
  }

  show() {
    this.element.hidden = this.first.hidden = false;
  }

  // -- phone -> page ----------------------------------------------------------------------------------------------------------------

  again() {
    this.reading = this.readAgain();
    return this.reading;
  }

  async readAgain() {
    const wasInForce = this.isInForce();
    this.card = await cardInView();
    const at = await lastConfirmed(this.card.id, this.sheet);
    // Another window has taken it back, or work is interrupted: the first tap counts no longer either.
    if (wasInForce && !at) this.firstAt = 0;
    const isGone = wasInForce && !at;
    this.at = at;
    this.paint();
    if (isGone) this.tell(this.words.confirm_gone);
  }

  isInForce(now = Date.now()) {
    return this.at > 0 && isInForce(this.at, now);
  }

  paint() {
    const now = Date.now();
    if (!isInForce(this.firstAt, now)) this.firstAt = 0;
    const isConfirmed = this.isInForce(now);
    this.paintFor();
    this.paintCount();
    this.paintFirst(isConfirmed);
    this.paintSecond(isConfirmed);
    this.tell(this.sentence(isConfirmed, now));
    clearTimeout(this.lapsing);
    if (isConfirmed || this.firstAt) this.lapsing = setTimeout(() => this.paint(), (isConfirmed ? this.at : this.firstAt) + CONFIRMED_MS - now);
  }

  /** What the line under the second tap says. @param {boolean} isConfirmed @param {number} now */
  sentence(isConfirmed, now) {
    if (!this.at) return "";
    const { lang } = document.documentElement;
    const fields = { at: whenInWords(this.at, now, lang), until: whenInWords(this.at + CONFIRMED_MS, now, lang) };
    return fill(isConfirmed ? this.words.confirm_until : this.words.confirm_lapsed, fields);
  }

  paintFor() {
    const { words, card, element } = this;
    const name = fill(words.confirm_for, { name: card.name.trim() || words.confirm_unnamed });
    write(part(element, "for"), card.lacks ? words[`confirm_card_${card.lacks}`] : card.id ? name : words.confirm_for_none);
    const link = /** @type {HTMLAnchorElement} */ (part(element, "card"));
    link.hidden = !card.id;
    if (card.id) link.href = `${this.base}job/card/?job=${encodeURIComponent(card.id)}`;
  }

  paintCount() {
    const ticked = [...this.ticks].filter(({ checked }) => checked).length;
    write(part(this.first, "count"), fill(this.words.confirm_count, { ticked: String(ticked), all: String(this.ticks.length) }));
  }

  /** @param {boolean} isConfirmed */
  paintFirst(isConfirmed) {
    const button = part(this.first, "first");
    const isDone = isConfirmed || this.firstAt > 0;
    button.setAttribute("aria-disabled", String(isDone));
    write(button, isDone ? this.words.confirm_first_done : this.words.confirm_first);
    write(part(this.first, "first-told"), isConfirmed ? this.words.confirm_first_whole : isDone ? this.words.confirm_read_on : "");
  }

  /** @param {boolean} isConfirmed */
  paintSecond(isConfirmed) {
    const { element, words } = this;
    const waits = !isConfirmed && !this.firstAt;
    const button = part(element, "second");
    button.setAttribute("aria-disabled", String(isConfirmed || waits));
    button.classList.toggle("is-done", isConfirmed);
    write(button, isConfirmed ? words.confirm_done : words.confirm_second);
    part(element, "waits").hidden = !waits;
    part(element, "take-back").hidden = !isConfirmed;
  }

  /** @param {string} sentence */
  tell(sentence) {
    write(part(this.element, "told"), sentence);
  }

  /** @param {import("../lib/store.js").State} state */
  tellState(state) {
    this.state = state;
    // While another window is in the way nothing can be read; the person shall know why.
    if (state === "blocked") this.show();
    write(part(this.element, "state"), state === "fine" ? "" : this.words[`caution_state_${state}`]);
  }

  // -- page -> phone ----------------------------------------------------------------------------------------------------------------

  tapFirst() {
    if (this.isInForce() || this.firstAt) return;
    this.firstAt = Date.now();
    this.paint();
  }

  async tapSecond() {
    await this.reading;
    const now = Date.now();
    if (this.isInForce(now)) return;
    if (!isInForce(this.firstAt, now)) {
      this.paint();
      this.tell(this.words.confirm_waits);
      return;
    }
    await confirm(this.card.id, this.sheet, now);
    await this.again();
  }

  async takeBack() {
    this.firstAt = this.at = 0;
    await takeBack(this.card.id, this.sheet);
    await this.again();
    this.tell(this.words.confirm_taken_back);
    // The button is gone: without this a keyboard would begin anew at the top of the page.
    part(this.element, "second").focus({ preventScroll: true });
  }
}

/** The job card that a confirmation on this page counts for. @returns {Promise<Card>} */
async function cardInView() {
  const { job, lacks } = await jobMeant(new URLSearchParams(location.search).get("job") ?? "");
  return { id: job?.id ?? "", name: String(job?.name ?? ""), lacks };
}
