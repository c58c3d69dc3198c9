/** Below the steps: what hangs on no step, what was done, and what can be done with the card as a whole. */

import { pastActions } from "../lib/job-history.js";
import { removeCard, rename } from "../lib/job-deeds.js";
import { makeFile } from "../lib/job-file.js";
import { thingsAt } from "../lib/job-list.js";
import { readingsCsv } from "../lib/readings-csv.js";
import { Asks } from "./job-asks.js";
import { fold, labelled, renew, say } from "./job-kit.js";
import { keptLinks, roundLinks } from "./job-links.js";
import { outPanel } from "./job-out.js";
import { Photos } from "./job-photos.js";
import { pastSentence, when } from "./job-words.js";
import { button, made } from "./made.js";

const PAST = 30; // actions listed

export class Rest {
  /** @param {import("./job-card.js").Card} card */
  constructor(card) {
    this.card = card;
    const { words } = card;
    this.asks = new Asks(card, "", null);
    this.photos = new Photos(card, "");
    this.links = made("div", {});
    this.loose = made("section", { class: "card-loose-things" }, made("h2", {}, words.card_no_step), this.links, this.asks.element, this.photos.element);
    this.past = made("ol", { class: "card-past" });
    this.pastFold = fold(words.card_past, this.past);
    this.pastFold.addEventListener("toggle", () => this.paintPast());
    this.element = made("div", { class: "card-rest" }, this.loose, this.pastFold, this.whole());
  }

  /** The card as a whole. */
  whole() {
    const { card } = this;
    const { words } = card;
    this.name = made("input", { type: "text", value: card.job.name, maxlength: 500, autocomplete: "off", "data-key": "name" });
    this.name.addEventListener("change", () => void card.act((job) => rename(job, /** @type {HTMLInputElement} */ (this.name).value.trim())));
    const file = outPanel(words, words.card_export_one, () => makeFile([card.id], Date.now()));
    const csv = outPanel(words, words.card_csv, () => csvFile([card.job], words));
    return made("section", { class: "card-whole" },
      made("h2", {}, words.card_whole), labelled(words.card_rename, this.name), button(words.card_print, () => print()), file, csv,
      button(words.card_remove, () => this.remove(), { class: "card-off" }),
      made("a", { class: "link", href: `${card.base}job/` }, made("b", {}, words.card_to_list)),
      made("a", { class: "link", href: `${card.base}help/job-card/` }, made("b", {}, words.card_help)));
  }

  async remove() {
    const { card } = this;
    await card.keepTyped();
    const at = Date.now();
    await card.act((job) => removeCard(job, at), { at });
    // A phone gives a tapped button no focus that could be handed on.
    card.element.querySelector("button")?.focus();
  }

  paint() {
    const { card, name } = this;
    const { job } = card;
    const [rounds, kept] = [thingsAt(job, "rounds", ""), thingsAt(job, "kept", "")];
    renew(this.links, [rounds, kept], () => [...keptLinks(card, kept), ...roundLinks(card, rounds, "")]);
    this.asks.paint();
    this.photos.paint();
    if (name && document.activeElement !== name && name.value !== job.name) name.value = job.name;
    this.paintPast();
  }

  paintPast() {
    const { card } = this;
    const { words } = card;
    if (!this.pastFold.open) return;
    const past = pastActions(card.job).slice(0, PAST);
    renew(this.past, past.map(({ id, undone }) => [id, undone]), () => past.map((one) => {
      const what = pastSentence(one, words);
      const act = one.undone
        ? button(words.card_redo, () => card.doAgain(one.id), { "data-key": one.id, "aria-label": say(words, "card_redo_what", { what }) })
        : button(words.card_undo, () => card.takeBack(one.id), { "data-key": one.id, "aria-label": say(words, "card_undo_what", { what }) });
      return made("li", { class: one.undone ? "is-undone" : "" }, made("p", {}, what, " ", made("small", {}, one.undone ? words.card_past_undone : when(one.at))), act);
    }));
  }
}

/** Readings of cards as a file. @param {import("../lib/job.js").Job[]} jobs @param {Record<string, string>} words */
export async function csvFile(jobs, words) {
  const day = new Date().toISOString().slice(0, 10);
  return { blob: new Blob([readingsCsv(jobs, words)], { type: "text/csv" }), name: `readings-${day}.csv` };
}
