/** The head of a card: its name, how far it is, whether it is kept, and whether work goes on. */

import { resume } from "../lib/job-deeds.js";
import { progress } from "../lib/job-list.js";
import { interrupt } from "../lib/job-store.js";
import { renew, say } from "./job-kit.js";
import { progressSentence, when } from "./job-words.js";
import { button, made } from "./made.js";

export class Head {
  /** @param {import("./job-card.js").Card} card */
  constructor(card) {
    this.card = card;
    this.name = made("h2", { class: "card-name", tabindex: -1 });
    this.progress = made("p", { class: "card-progress" });
    this.state = made("p", { class: "card-state", role: "status" });
    this.going = made("div", { class: "card-going" });
    const where = made("div", {}, this.progress, this.state);
    this.element = made("header", { class: "card-head" }, this.name, made("div", { class: "card-where" }, where, this.going));
  }

  paint() {
    const { job, words } = this.card;
    this.element.classList.toggle("is-stopped", job.interrupted > 0);
    const name = job.name.trim() || words.confirm_unnamed;
    renew(this.name, name, () => [name]);
    document.title = say(words, "card_head", { name, title: words.job_card_title });
    renew(this.progress, progress(job), () => [progressSentence(progress(job), words)]);
    renew(this.going, job.interrupted, () => (job.interrupted ? this.stopped(job.interrupted) : [button(words.card_stop, () => this.stop(), { "data-key": "going" })]));
  }

  /** @param {number} since */
  stopped(since) {
    const { words } = this.card;
    return [
      made("div", { class: "card-stopped" }, made("b", {}, say(words, "card_stopped", { at: when(since) })), made("p", {}, words.card_stopped_says)),
      button(words.card_go_on, () => this.card.act((job) => resume(job)), { "data-key": "going", class: "card-wide card-main" }),
    ];
  }

  async stop() {
    const { card } = this;
    await card.keepTyped();
    const { job } = await interrupt(card.id);
    card.take(job);
    await card.readSheets();
    card.dock?.tell(card.words.card_stopped_says);
  }

  /** @param {import("../lib/store.js").State} state */
  tellState(state) {
    const { words } = this.card;
    this.state.dataset.state = state;
    renew(this.state, state, () => [state === "fine" ? words.card_kept : words[`card_state_${state}`]]);
  }
}
