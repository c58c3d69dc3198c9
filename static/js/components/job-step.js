/**
 * The inside of an open step, in the order of the work: what can hurt, what to have ready, what to look up, measure and photograph,
 * what comes loose, and last the large control that says it is done.
 */

import { lookAt, remove } from "../lib/job-deeds.js";
import { openEnd } from "../lib/end-deeds.js";
import { tick, untick } from "../lib/step-deeds.js";
import { CONFIRMED_MS } from "../lib/confirmed.js";
import { openEnds, sheetsOf } from "../lib/job-ends.js";
import { thingsAt } from "../lib/job-list.js";
import { newId } from "../lib/job-store.js";
import { Asks } from "./job-asks.js";
import { StepEdit } from "./job-edit.js";
import { EndOpener, endTag } from "./job-end-tags.js";
import { icon, newName, renew, renewEach, say, signalPanel } from "./job-kit.js";
import { keptLinks, roundLinks } from "./job-links.js";
import { Note } from "./job-note.js";
import { Photos } from "./job-photos.js";
import { endName, when } from "./job-words.js";
import { button, made } from "./made.js";

/** Lists of prompts in the order of the work; each line can be ticked off. */
const PROMPTS = /** @type {const} */ (["ready", "new", "apart", "photo", "touch"]);

export class StepBody {
  /** @param {import("./job-card.js").Card} card @param {string} id */
  constructor(card, id) {
    this.card = card;
    this.id = id;
    this.text = card.textOf(id);
    const { words } = card;
    this.needs = made("div", { class: "card-needs" });
    this.prompts = made("div", {});
    this.asks = new Asks(card, id, this.text);
    this.links = made("div", { class: "card-links" });
    this.tags = made("ul", { class: "card-tags" });
    this.offers = made("div", { class: "card-offers" });
    this.note = new Note(card, id);
    this.photos = new Photos(card, id);
    this.done = made("div", { class: "card-done" });
    this.edit = new StepEdit(card, id);
    const ends = made("div", { class: "card-loose" }, made("h4", { tabindex: -1 }, words.card_ends), this.offers, this.tags, new EndOpener(card, id).element);
    this.element = made("div", {}, this.needs, ...this.told(), this.prompts, this.asks.element, this.links, this.photos.element, ends, this.note.element, this.done, /** @type {import("./screen-on.js").ScreenOn} */ (card.screen).element, this.edit.element);
  }

  /** Text of the template that stays as it is. */
  told() {
    const { text, card } = this;
    const { words } = card;
    const closes = text?.closes?.map((/** @type {string} */ kind) => words[`job_end_${kind}`]).join(" · ");
    const gate = text?.gate || card.job.steps[this.id].gate;
    return [
      ...(gate ? [made("p", { class: "job-gate" }, words.job_gate_first_start)] : []),
      ...(text?.note ? [made("p", {}, text.note)] : []),
      ...(closes ? [made("p", {}, made("b", {}, words.job_closes), " ", closes)] : []),
    ];
  }

  paint() {
    this.paintNeeds();
    this.paintPrompts();
    this.asks.paint();
    this.paintLinks();
    this.paintEnds();
    this.note.paint();
    this.photos.paint();
    this.paintDone();
  }

  /** The step shuts: what is typed is kept. */
  end() {
    this.asks.end();
    this.note.end();
    this.photos.end();
  }

  // -- cautions -------------------------------------------------------------------------------------------------------

  paintNeeds() {
    const { card, id } = this;
    const sheets = sheetsOf(card.job.steps[id], this.text);
    const from = sheets.map((sheet) => [sheet, card.sheets[sheet] ?? 0]);
    this.needs.hidden = !sheets.length;
    renew(this.needs, from, () => sheets.map((sheet) => this.strip(sheet)));
  }

  /** @param {string} sheet */
  strip(sheet) {
    const { card } = this;
    const { words } = card;
    const text = card.sheetText(sheet);
    const at = card.sheets[sheet] ?? 0;
    const state = at ? say(words, "card_sheet_confirmed", { at: when(at), until: when(at + CONFIRMED_MS) }) : words.card_sheet_missing;
    const href = `${card.base}cautions/${encodeURIComponent(sheet)}/?job=${encodeURIComponent(card.id)}`;
    const title = made("span", { class: "strip-title" }, made("b", {}, text?.title ?? sheet), icon("onward"));
    const says = text && !at ? made("span", { class: "strip-says" }, text.says) : null;
    const line = made("span", { class: "card-sheet-state" }, at ? "✓ " : "", state);
    return made("a", { class: `strip strip-short card-strip${at ? " is-confirmed" : ""}`, href, "data-key": `sheet ${sheet}` }, text ? signalPanel(text.signal, words) : null, title, says, line);
  }

  // -- prompts --------------------------------------------------------------------------------------------------------

  paintPrompts() {
    const { card, id } = this;
    const ticked = new Map(thingsAt(card.job, "entries", id).filter(({ sort }) => sort === "check").map((one) => [one.label, one.id]));
    const lists = PROMPTS.filter((name) => this.text?.[name]?.length);
    renew(this.prompts, [lists, [...ticked.keys()]], () => lists.map((name) => this.promptList(name, ticked)));
  }

  /** @param {string} name @param {Map<string, string>} ticked */
  promptList(name, ticked) {
    const heading = made("h4", { id: newName("card-prompts") }, this.card.words[`job_${name}`]);
    const items = this.text?.[name].map((/** @type {string} */ label) => made("li", {}, this.prompt(label, ticked.get(label))));
    return made("div", { class: `card-prompts card-${name}` }, heading, made("ul", { "aria-labelledby": heading.id }, ...items));
  }

  /** @param {string} label @param {string | undefined} entry  where it has been ticked off */
  prompt(label, entry) {
    const { card, id } = this;
    const box = made("input", { type: "checkbox", checked: entry !== undefined, autocomplete: "off", "data-key": `prompt ${label}` });
    box.addEventListener("change", () => {
      const [fresh, at] = [newId(), Date.now()];
      if (entry === undefined) void card.act((job) => lookAt(job, fresh, { step: id, label }, at), { step: id, at });
      else void card.act((job) => remove(job, "entries", entry, at), { at });
    });
    return made("label", {}, box, made("span", {}, label));
  }

  // -- figures, rounds, answers ---------------------------------------------------------------------------------------

  paintLinks() {
    const { card, id, text } = this;
    const { words } = card;
    const [rounds, kept] = [thingsAt(card.job, "rounds", id), thingsAt(card.job, "kept", id)];
    const figures = (text?.figures ?? []).map((/** @type {{title: string, href: string}} */ { title, href }) => made("a", { class: "call", href: card.base + href }, title));
    renew(this.links, [rounds, kept], () => [
      ...(figures.length ? [made("h4", {}, words.job_figures), made("div", { class: "card-acts" }, ...figures)] : []),
      ...roundLinks(card, rounds, id, text?.round),
      ...keptLinks(card, kept),
    ]);
    this.links.hidden = !this.links.childNodes.length;
  }

  // -- loose ends -----------------------------------------------------------------------------------------------------

  paintEnds() {
    const { card, id } = this;
    const open = openEnds(card.job).filter(({ step }) => step === id);
    renewEach(this.tags, open, (end) => endTag(card, end), /** @type {HTMLElement} */ (this.offers.previousElementSibling));
    const known = thingsAt(card.job, "ends", id);
    const offered = (this.text?.ends ?? []).filter((/** @type {any} */ { kind, place }) => !known.some((end) => end.kind === kind && end.place === place));
    this.offers.hidden = !offered.length;
    renew(this.offers, offered, () => [made("p", {}, this.card.words.card_ends_usual), ...offered.map((/** @type {any} */ one) => this.offer(one))], /** @type {HTMLElement} */ (this.offers.previousElementSibling));
  }

  /** One tap opens what this step usually opens. @param {{kind: import("../lib/job.js").EndKind, place: string, count?: number, note?: string}} offered */
  offer({ kind, place, count = 1, note = "" }) {
    const { card, id } = this;
    const { words } = card;
    const name = endName({ kind, words: note, place }, words);
    const label = say(words, count > 1 ? "card_end_offer_count" : "card_end_offer", { end: name, count });
    return button(label, async () => {
      const [fresh, at] = [newId(), Date.now()];
      await card.act((job) => openEnd(job, fresh, { step: id, kind, place, count, words: note }, at), { step: id, at });
    }, { class: "card-offer", "data-key": `offer ${kind} ${place}` });
  }

  // -- done -----------------------------------------------------------------------------------------------------------

  paintDone() {
    const { card, id } = this;
    const { words } = card;
    const { done } = card.job.steps[id];
    const why = done ? [] : card.blocksOf(id);
    const sentences = card.whyNot(why);
    renew(this.done, [done, sentences], () => {
      if (done) {
        return [made("p", { class: "card-done-at" }, say(words, "card_step_done", { at: when(done) })), button(words.card_untick, () => card.act((job) => untick(job, id)), { "data-key": "tick" })];
      }
      const list = made("ul", { class: "card-why", id: newName("card-why") }, ...sentences.map((sentence) => made("li", {}, sentence)));
      const given = { class: "card-tick", "data-key": "tick", "aria-disabled": String(why.length > 0), "aria-describedby": why.length ? list.id : undefined };
      const ends = why.some((one) => one.why === "ends") ? button(words.card_ends_show, () => card.endsView?.toggle(), { "data-key": "show ends" }) : null;
      return [why.length ? list : null, ends, button(words.card_tick, () => this.tick(), given)];
    });
  }

  /** Whether it may be done is settled where it is written, not by what this page was painted from. */
  async tick() {
    const { card, id } = this;
    await this.note.keep();
    const at = Date.now();
    const { did, blocks } = await card.act((job) => tick(job, id, at), { isQuiet: true, at });
    if (blocks.length) await card.refuse(card.words.card_tick_not, blocks);
    else if (did) this.goOn();
  }

  goOn() {
    const { card, id } = this;
    const { words } = card;
    const title = card.titleOf(id);
    const next = card.nextStep(id);
    card.openStep(next?.id ?? "");
    if (next) card.steps?.show(next.id, { isFocused: true });
    card.dock?.tell(next ? say(words, "card_done_next", { step: title, next: card.titleOf(next.id) }) : words.card_all_done, { isLoud: !next });
  }
}
