/** Puts a Figure's answer on the job card in use, with its inputs: the card opens the Figure with them again. The store comes on the first tap. */

import { fill } from "./figure-paint.js";
import { made, button, link } from "./made.js";

/** @typedef {{figure: string, title: string, query: () => string, answer: () => string, isAnswer: () => boolean}} Answer */
/** @typedef {import("../lib/job.js").Job} Job */

/** @param {HTMLElement} before  what it stands behind @param {Record<string, string>} words @param {Answer} answer */
export function startKeep(before, words, answer) {
  const keep = new Keep(words, answer);
  before.after(keep.element);
}

class Keep {
  /** @param {Record<string, string>} words @param {Answer} answer */
  constructor(words, answer) {
    this.words = words;
    this.answer = answer;
    this.isBusy = false;
    this.button = button(words.keep_act, () => void this.tap());
    this.told = made("div", { class: "keep-told", role: "status" });
    this.element = made("div", { class: "keep", "data-part": "keep" }, this.button, this.told);
  }

  async tap() {
    if (this.isBusy) return;
    this.isBusy = true;
    try {
      await this.keep();
    } catch {
      this.told.replaceChildren(this.words.keep_no_store);
    }
    this.isBusy = false;
  }

  async keep() {
    const { words, answer } = this;
    if (!answer.isAnswer()) {
      this.told.replaceChildren(fill(words.keep_nothing, { sentence: answer.answer() }));
      return;
    }
    const [{ keepFigure }, { jobInUse }] = await Promise.all([import("../lib/job-store.js"), import("../lib/job-in-use.js")]);
    const kept = { figure: answer.figure, title: answer.title, query: answer.query(), answer: answer.answer() };
    const done = await keepFigure(kept);
    if (!done) return this.ask();
    const job = done.job ?? (await jobInUse());
    if (!job) return this.ask();
    this.tell(job, done, kept.answer);
  }

  /** No card is in use. */
  async ask() {
    const { cardChoice } = await import("./card-choice.js");
    const choice = await cardChoice(this.words, () => void this.tap());
    this.told.replaceChildren(choice);
    choice.querySelector("button")?.focus({ preventScroll: true });
  }

  /** @param {Job} job @param {import("../lib/job-store.js").Done} done @param {string} answer */
  tell(job, { did, kept, action }, answer) {
    const { words } = this;
    const fields = { name: job.name.trim() || words.keep_unnamed_card, answer };
    if (!did) {
      this.told.replaceChildren(fill(words.keep_failed, fields));
      return;
    }
    const { root } = document.documentElement.dataset;
    const card = link(`${root ?? ""}${document.documentElement.lang}/job/card/?job=${encodeURIComponent(job.id)}`, words.keep_open_card, { class: "call" });
    const undo = button(words.keep_undo, () => void this.undo(job.id, action, fields));
    this.told.replaceChildren(made("p", {}, fill(kept ? words.keep_done : words.keep_not_stored, fields)), made("div", { class: "keep-ways" }, undo, card));
  }

  /** @param {string} jobId @param {string} action @param {Record<string, string>} fields */
  async undo(jobId, action, fields) {
    const { undo } = await import("../lib/job-store.js");
    await undo(jobId, action);
    this.told.replaceChildren(fill(this.words.keep_undone, fields));
    this.button.focus({ preventScroll: true });
  }
}
