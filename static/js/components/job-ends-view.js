/** All loose ends of a card, in place of its steps: what is open, to be closed piece by piece; what is closed, to be opened again. */

import { reopenEnd } from "../lib/end-deeds.js";
import { closedEnds, openEnds } from "../lib/job-ends.js";
import { EndOpener, endTag } from "./job-end-tags.js";
import { focusOn, fold, renew, renewEach, say } from "./job-kit.js";
import { countSentence, endName, when } from "./job-words.js";
import { button, made } from "./made.js";

export class EndsView {
  /** @param {import("./job-card.js").Card} card */
  constructor(card) {
    this.card = card;
    this.isOpen = false;
    this.was = 0;
    const { words } = card;
    this.heading = made("h2", { tabindex: -1 }, words.card_ends);
    this.count = made("p", { class: "card-ends-count" });
    this.open = made("ul", { class: "card-tags" });
    this.closed = made("ul", { class: "card-closed" });
    this.closedFold = fold(words.card_ends_closed, this.closed);
    const back = () => button(words.card_ends_back, () => this.toggle(), { class: "card-wide" });
    this.element = made("section", { id: "loose-ends", class: "card-ends", hidden: true }, this.heading, this.count, back(), this.open, new EndOpener(card, "").element, this.closedFold, back());
  }

  toggle() {
    const { card } = this;
    this.isOpen = !this.isOpen;
    if (this.isOpen) this.was = scrollY;
    void card.keepTyped();
    this.element.hidden = !this.isOpen;
    if (card.page) card.page.hidden = this.isOpen;
    card.paint();
    scrollTo(0, this.isOpen ? 0 : this.was);
    if (this.isOpen) focusOn(this.heading);
    else card.dock?.tag.focus({ preventScroll: true });
  }

  paint() {
    if (!this.isOpen) return;
    const { card } = this;
    const open = openEnds(card.job);
    renew(this.count, open.length, () => [countSentence(open.length, card.words)]);
    renewEach(this.open, open, (end) => endTag(card, end, this.whence(end)), this.heading);
    const closed = closedEnds(card.job);
    this.closedFold.hidden = !closed.length;
    renewEach(this.closed, closed, (end) => this.closedLine(end), this.heading);
  }

  /** The step at which it was opened, as a way there. @param {import("../lib/job-ends.js").OpenEnd} end */
  whence({ step }) {
    const { card } = this;
    const there = card.job.steps[step];
    if (!there || there.gone) return null;
    return button(say(card.words, "card_end_step", { step: card.titleOf(step) }), () => {
      this.was = 0;
      this.toggle();
      card.openStep(step);
      card.steps?.show(step, { isFocused: true });
    }, { class: "card-quiet" });
  }

  /** @param {import("../lib/job-ends.js").OpenEnd} end */
  closedLine(end) {
    const { card } = this;
    const name = endName(end, card.words);
    const again = button(card.words.card_end_reopen, () => card.act((job) => reopenEnd(job, end.id)), { "aria-label": say(card.words, "card_end_reopen_what", { end: name }) });
    return [made("p", {}, made("b", {}, name), " ", say(card.words, "card_end_closed_at", { at: when(end.done) })), again];
  }
}
