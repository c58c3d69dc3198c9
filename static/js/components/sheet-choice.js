/**
 * Which cautions a person's own step needs. Those that its words lead to stand ticked; the person has the last word, and what was ticked
 * or unticked by hand stays so, whatever is written afterwards.
 */

import { leadsTo } from "../lib/leads.js";
import { fold, say, signalPanel } from "./job-kit.js";
import { made } from "./made.js";

/** @typedef {import("./job-card.js").Card} Card */

export class SheetChoice {
  /** @param {Card} card @param {string[]} [chosen]  sheets that the step has */
  constructor(card, chosen = []) {
    this.card = card;
    /** What was on the step, or was settled by hand. */
    this.settled = new Set(chosen);
    /** @type {Map<string, {box: HTMLInputElement, item: HTMLElement}>} */
    this.rows = new Map(Object.keys(card.sheetTexts).map((sheet) => [sheet, this.row(sheet, chosen.includes(sheet))]));
    const { words } = card;
    this.hint = made("p", { hidden: true }, words.card_sheets_hint);
    this.told = made("p", { class: "out-of-sight", role: "status" });
    this.near = made("ul", { class: "card-sheet-list" });
    this.further = made("ul", { class: "card-sheet-list" });
    this.element = made("fieldset", { class: "card-sheets" }, made("legend", {}, words.card_sheets), this.hint, this.told, this.near, fold(words.card_sheets_more, this.further));
    this.arrange();
  }

  /** @param {string} sheet @param {boolean} isChosen */
  row(sheet, isChosen) {
    const { title, signal } = this.card.sheetTexts[sheet];
    const box = made("input", { type: "checkbox", autocomplete: "off", checked: isChosen, "data-key": `sheet choice ${sheet}` });
    box.addEventListener("change", () => this.settled.add(sheet));
    const item = made("li", {}, made("label", { class: "card-check" }, box, made("span", {}, signalPanel(signal, this.card.words), " ", title)));
    return { box, item };
  }

  /** Sheets that are ticked, in the order of the list. @returns {string[]} */
  get sheets() {
    return [...this.rows].filter(([, { box }]) => box.checked).map(([sheet]) => sheet);
  }

  /** The step's words are these now. @param {string} text */
  follow(text) {
    const { card, rows } = this;
    const leads = leadsTo(text, card.hazards).filter((sheet) => rows.has(sheet));
    for (const [sheet, { box }] of rows) if (!this.settled.has(sheet)) box.checked = leads.includes(sheet);
    const titles = leads.map((sheet) => card.sheetTitle(sheet)).join(", ");
    const said = titles ? say(card.words, "card_sheets_lead", { sheets: titles }) : "";
    this.hint.hidden = !titles;
    // Said once to a screen reader, not at every letter.
    if (this.told.textContent !== said) this.told.textContent = said;
    this.arrange(leads);
  }

  /** Begin anew, for the next step. */
  clear() {
    this.settled.clear();
    this.follow("");
  }

  /** What is ticked or led to stands in sight, the rest folded. Nothing moves away from under a finger: a sheet once in sight stays there. @param {string[]} [leads] */
  arrange(leads = []) {
    const inSight = [...this.rows].filter(([sheet, { box, item }]) => box.checked || leads.includes(sheet) || (this.settled.has(sheet) && item.parentElement === this.near));
    const items = new Set(inSight.map(([, { item }]) => item));
    for (const { item } of this.rows.values()) {
      const list = items.has(item) ? this.near : this.further;
      if (item.parentElement !== list && !item.contains(document.activeElement)) list.append(item);
    }
    this.near.hidden = !this.near.childElementCount;
  }
}
