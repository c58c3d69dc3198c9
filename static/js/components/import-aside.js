/** What the last import has put aside: it can be put back, or forgotten to free its room; and forgetting can be undone while the page is open. */

import { asideSize, forgetImport, importedAt, keepAside, undoImport } from "../lib/job-file.js";
import { focusOn, say } from "./job-kit.js";
import { sizeOf } from "./job-out.js";
import { when } from "./job-words.js";
import { button, made } from "./made.js";

export class ImportAside {
  /** @param {Record<string, string>} words @param {() => unknown} again  called when something has come back */
  constructor(words, again) {
    this.words = words;
    this.again = again;
    this.told = made("div", { role: "status" });
    this.ways = made("div", {});
    this.element = made("div", { class: "card-aside" }, this.ways, this.told);
    void this.paint();
  }

  async paint() {
    const { words } = this;
    const at = await importedAt();
    const said = at ? [say(words, "card_in_last", { at: when(at) }), say(words, "card_in_aside", { size: sizeOf(await asideSize()) })].join(" ") : "";
    const acts = () => made("div", { class: "card-acts" }, button(words.card_in_undo, () => this.putBack()), button(words.card_in_forget, () => this.forget(), { class: "card-off" }));
    this.ways.replaceChildren(...(at ? [made("p", {}, said), acts()] : []));
    this.told.replaceChildren();
  }

  async putBack() {
    const { kept, isStale } = await undoImport();
    const { words } = this;
    if (!isStale && kept) await this.paint();
    this.tell(words[isStale ? "card_file_undo_stale" : kept ? "card_in_undone" : "card_in_undo_full"]);
    if (!isStale && kept) this.again();
  }

  async forget() {
    const { words } = this;
    const { kept, aside } = await forgetImport();
    if (!kept) return this.tell(words.card_in_forget_not);
    await this.paint();
    const undo = aside && button(words.card_undo, () => this.remember(aside));
    this.told.replaceChildren(made("span", {}, words.card_in_forgotten), ...(undo ? [undo] : []));
    return undo?.focus();
  }

  /** @param {import("../lib/job-file.js").Aside} aside */
  async remember(aside) {
    const { kept } = await keepAside(aside);
    await this.paint();
    this.tell(this.words[kept ? "card_in_remembered" : "card_in_undo_full"]);
  }

  /** @param {string} sentence */
  tell(sentence) {
    this.told.textContent = sentence;
    focusOn(this.told);
  }
}
