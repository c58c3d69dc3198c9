/**
 * What is always in sight on a card: how many loose ends are open, on a tag that leads to them, and the way to take the last action
 * back. Above them stands what a person must read; what merely went as it should is said to a screen reader alone.
 */

import { lastAction } from "../lib/job-history.js";
import { countOpen } from "../lib/job-ends.js";
import { give, renew, shortened } from "./job-kit.js";
import { pastSentence } from "./job-words.js";
import { button, made } from "./made.js";

const MOST = 44; // letters of what would be undone: two lines on a small phone

export class Dock {
  /** @param {import("./job-card.js").Card} card */
  constructor(card) {
    this.card = card;
    this.told = made("div", { class: "card-told", role: "status" });
    this.tag = button("", () => card.endsView?.toggle(), { class: "card-count", "aria-controls": "loose-ends" });
    this.undo = button("", () => this.takeBack(), { class: "card-undo" });
    this.element = made("div", { class: "card-dock", role: "group", "aria-label": card.words.card_dock }, this.told, this.tag, this.undo);
  }

  paint() {
    const { job, words, endsView } = this.card;
    const { ends } = countOpen(job);
    give(this.tag, "data-open", ends);
    give(this.tag, "aria-expanded", Boolean(endsView?.isOpen));
    renew(this.tag, ends, () => [made("b", {}, String(ends)), " ", made("span", {}, words[ends === 1 ? "card_dock_end" : "card_dock_ends"])]);
    this.paintUndo();
  }

  paintUndo() {
    const { job, words } = this.card;
    const last = lastAction(job);
    const what = last && pastSentence(last, words);
    this.undo.hidden = !what;
    renew(this.undo, what, () => [made("b", {}, words.card_undo), " ", made("span", {}, shortened(what ?? "", MOST))]);
    // The whole of it, where it had to be cut.
    this.undo.title = what ?? "";
  }

  async takeBack() {
    const last = lastAction(this.card.job);
    if (last) await this.card.takeBack(last.id);
  }

  /** @param {string} text @param {{isLoud?: boolean, act?: HTMLElement}} [options]  isLoud: is to be read by everybody; act: a button that goes with it */
  tell(text, { isLoud = false, act } = {}) {
    this.told.classList.toggle("out-of-sight", !isLoud);
    this.told.replaceChildren(made("p", {}, text), ...(act ? [act] : []));
  }
}
