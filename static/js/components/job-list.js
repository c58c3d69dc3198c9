/** The cards on this phone: opened, made from nothing, deleted, taken out as a file and brought in from one. */

import { newJob } from "../lib/job.js";
import { removeCard, restoreCard } from "../lib/job-deeds.js";
import { countOpen } from "../lib/job-ends.js";
import { makeFile } from "../lib/job-file.js";
import { progress } from "../lib/job-list.js";
import { lastTouched } from "../lib/job-history.js";
import { addJob, allJobs, doAct, newId } from "../lib/job-store.js";
import { watchOthers, watchState } from "../lib/store.js";
import { Importer } from "./job-in.js";
import { fold, labelled, newName, renewEach, say } from "./job-kit.js";
import { outPanel } from "./job-out.js";
import { csvFile } from "./job-rest.js";
import { countSentence, progressSentence, when } from "./job-words.js";
import { button, made } from "./made.js";

/** @typedef {import("../lib/job.js").Job} Job */

/** @param {HTMLElement} element @param {import("../main.js").Options} options */
export async function start(element, { words, root }) {
  await new List(element, words, `${root}${document.documentElement.lang}/job/card/`).begin();
}

class List {
  /** @param {HTMLElement} element @param {Record<string, string>} words @param {string} base  way to a card */
  constructor(element, words, base) {
    this.element = element;
    this.words = words;
    this.base = base;
    /** @type {Job[]} */
    this.jobs = [];
    this.state = made("p", { class: "card-state", role: "status" });
    this.told = made("div", { class: "card-list-told", role: "status" });
    this.heading = made("h2", { tabindex: -1 }, words.card_list);
    this.list = made("ul", { class: "card-list" });
    this.gone = made("ul", { class: "card-list" });
    this.goneFold = fold(words.card_list_gone, this.gone);
  }

  async begin() {
    const { words } = this;
    const out = made("div", { class: "card-in-out" }, outPanel(words, words.card_export, () => makeFile(null, Date.now())), outPanel(words, words.card_csv_all, () => csvFile(this.jobs, words)));
    const files = fold(words.card_files, made("p", {}, words.card_files_say), out, new Importer(words, () => this.again()).element);
    this.element.replaceChildren(this.heading, this.state, this.list, this.told, this.maker(), this.goneFold, files);
    watchState((state) => {
      this.state.dataset.state = state;
      this.state.textContent = state === "fine" ? "" : words[`card_state_${state}`];
    });
    const again = () => void this.again();
    watchOthers((places) => places.some(({ store }) => store === "jobs") && again());
    addEventListener("pageshow", ({ persisted }) => persisted && again());
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && again());
    await this.again();
    this.element.hidden = false;
  }

  async again() {
    const [jobs, gone] = await Promise.all([allJobs(), allJobs({ gone: true })]);
    this.jobs = jobs;
    this.heading.hidden = !jobs.length;
    renewEach(this.list, jobs, (job) => this.item(job), this.heading);
    this.goneFold.hidden = !gone.length;
    renewEach(this.gone, gone, (job) => this.goneItem(job), this.heading);
  }

  /** @param {Job} job */
  item(job) {
    const { words } = this;
    const { ends } = countOpen(job);
    const name = nameOf(job, words);
    const link = made("a", { class: "link", href: `${this.base}?job=${encodeURIComponent(job.id)}` },
      made("b", {}, name),
      made("span", {}, progressSentence(progress(job), words), " · ", say(words, "card_touched", { at: when(lastTouched(job)) })),
      ends ? made("span", { class: "card-mini" }, countSentence(ends, words)) : null);
    const off = button(words.card_delete, () => this.remove(job), { class: "card-off", "aria-label": say(words, "card_delete_what", { thing: name }) });
    return [link, off];
  }

  /** @param {Job} job */
  goneItem(job) {
    const { words } = this;
    const name = nameOf(job, words);
    const back = button(words.card_bring_back, () => this.restore(job), { "aria-label": say(words, "card_bring_back_what", { thing: name }) });
    return [made("p", {}, made("b", {}, name), " ", progressSentence(progress(job), words)), back];
  }

  /** @param {Job} job */
  async remove(job) {
    const { words } = this;
    const at = Date.now();
    await doAct(job.id, (now) => removeCard(now, at), { at });
    const undo = button(words.card_undo, () => this.restore(job));
    this.told.replaceChildren(made("p", {}, say(words, "card_did_remove_card", { name: nameOf(job, words) })), undo);
    await this.again();
    undo.focus();
  }

  /** @param {Job} job */
  async restore(job) {
    await doAct(job.id, restoreCard);
    this.told.replaceChildren(made("p", {}, say(this.words, "card_did_restore_card", { name: nameOf(job, this.words) })));
    await this.again();
    this.heading.focus();
  }

  /** Makes a card from nothing. */
  maker() {
    const { words } = this;
    const problem = made("p", { class: "fault", role: "status", id: newName("card-problem"), hidden: true });
    const field = made("input", { type: "text", autocomplete: "off", maxlength: 500, "aria-describedby": problem.id });
    let isMaking = false;
    const go = async () => {
      const name = field.value.trim();
      problem.hidden = name !== "";
      problem.textContent = name ? "" : say(words, "card_text_missing", { label: words.card_new_name });
      if (!name) {
        field.focus();
        return;
      }
      if (isMaking) return;
      isMaking = true;
      const job = newJob({ id: newId(), at: Date.now(), name, stages: [{ title: words.card_first_stage, steps: [] }] });
      const { kept } = await addJob(job);
      location.href = kept ? `${this.base}?job=${job.id}` : `${this.base}?name=${encodeURIComponent(name)}`;
    };
    field.addEventListener("keydown", ({ key }) => key === "Enter" && void go());
    addEventListener("pageshow", () => (isMaking = false));
    return fold(words.card_new, made("div", { class: "card-form" }, labelled(words.card_new_name, field), problem, button(words.card_new_make, go)));
  }
}

/** @param {Job} job @param {Record<string, string>} words */
function nameOf({ name }, words) {
  return name.trim() || words.confirm_unnamed;
}
