/** A file of cards into the phone: chosen, looked at as a whole, and brought in by one more tap, which can be taken back. */

import { doImport, planned, readFile } from "../lib/job-file.js";
import { ImportAside } from "./import-aside.js";
import { focusOn, say } from "./job-kit.js";
import { button, made } from "./made.js";

/** @typedef {import("../lib/job-file.js").Plan} Plan */
/** @typedef {import("../lib/job-file.js").Read} Read */

export class Importer {
  /** @param {Record<string, string>} words @param {() => unknown} again  called when something has come in or gone out */
  constructor(words, again) {
    this.words = words;
    this.again = again;
    this.field = made("input", { type: "file", accept: ".json,application/json,text/plain", hidden: true, "aria-label": words.card_in_choose });
    this.told = made("p", { role: "status" });
    this.aside = new ImportAside(words, again);
    this.found = made("div", { class: "card-in" });
    this.element = made("div", { class: "card-in-out" }, button(words.card_in_choose, () => this.field.click()), this.field, this.told, this.found, this.aside.element);
    this.field.addEventListener("change", () => void this.take());
  }

  async take() {
    const file = this.field.files?.[0];
    if (!file) return;
    this.told.textContent = this.words.card_in_reading;
    this.found.replaceChildren();
    const read = await readFile(file);
    this.field.value = "";
    if (read.ok) {
      this.told.textContent = "";
      await this.show(read, "merge");
      return;
    }
    this.told.textContent = say(this.words, "card_in_bad", { name: file.name });
    this.found.replaceChildren(made("ul", { class: "card-faults" }, ...read.problems.map(({ key, fields }) => made("li", { class: "fault" }, say(this.words, key, this.placed(fields))))));
  }

  /** Fields of a sentence; what is wrong with the file as a whole has no place in it. @param {Record<string, string | number>} fields @returns {Record<string, string | number>} */
  placed(fields) {
    return fields.where === "/" ? { ...fields, where: this.words.card_in_whole } : fields;
  }

  /** What will change, the other way to do it, and the tap that does it. @param {Read} read @param {"merge" | "replace"} way @param {string} [before]  a sentence that comes first */
  async show(read, way, before = "") {
    const { words } = this;
    const plan = await planned(read, way);
    const other = way === "merge" ? "replace" : "merge";
    const heading = made("h3", {}, words[`card_in_${way}`]);
    const acts = made("div", { class: "card-acts" },
      button(words[`card_in_do_${way}`], () => this.bringIn(read, way, plan), { class: way === "merge" ? "card-main" : "card-off" }),
      button(words[`card_in_see_${other}`], () => this.show(read, other)), button(words.card_in_leave, () => this.leave()));
    this.found.replaceChildren(...(before ? [made("p", { class: "fault" }, before)] : []), heading, made("ul", { class: "card-fates" }, ...this.fates(plan).map((line) => made("li", {}, line))), acts);
    focusOn(heading);
  }

  /** @param {Plan} plan @returns {string[]} */
  fates({ jobs, setups, photos, lacking, emergency }) {
    const { words } = this;
    const line = (/** @type {string} */ kind, /** @type {import("../lib/job-file.js").Fate} */ { name, becomes, isOlder }) => (
      say(words, `card_file_becomes_${becomes}${isOlder ? "_older" : ""}`, { name: say(words, kind, { name: name.trim() || words.confirm_unnamed }) }));
    return [
      ...jobs.map((fate) => line("card_in_card", fate)),
      ...setups.map((fate) => line("card_in_setup", fate)),
      ...(emergency === "added" || emergency === "replaced" ? [words[`card_in_emergency_${emergency}`]] : []),
      ...(photos ? [say(words, "card_file_photos", { number: photos })] : []),
      ...(lacking ? [say(words, "card_file_lacking", { number: lacking })] : []),
    ];
  }

  /** @param {Read} read @param {"merge" | "replace"} way @param {Plan} plan */
  async bringIn(read, way, plan) {
    const { words } = this;
    const { kept, isStale } = await doImport(plan, Date.now());
    if (isStale) {
      await this.show(read, way, words.card_file_stale);
      return;
    }
    if (!kept) {
      this.told.textContent = words.card_file_full;
      return;
    }
    this.found.replaceChildren();
    this.told.textContent = words.card_in_done;
    focusOn(this.told);
    await this.aside.paint();
    this.again();
  }

  leave() {
    this.found.replaceChildren();
    this.told.textContent = this.words.card_in_left;
  }
}
