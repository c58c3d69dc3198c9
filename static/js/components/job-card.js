/**
 * A person's own job card, drawn from the phone. This part knows the card, does what the others ask for, and hands each change on to
 * be painted; what is seen is made by job-head, job-steps, job-ends-view, job-rest and job-dock.
 *
 * What is shown is always what the store gave last; another window's changes come the same way. Where nothing can be kept it works
 * for this page and says so.
 */

import { newJob } from "../lib/job.js";
import { restoreCard } from "../lib/job-deeds.js";
import { CONFIRMED_MS, confirmed } from "../lib/confirmed.js";
import { blocks } from "../lib/job-ends.js";
import { adoptJotted, jot, unjot } from "../lib/job-jot.js";
import { allSteps } from "../lib/job-list.js";
import { jobInUse, useJob } from "../lib/job-in-use.js";
import { addJob, doAct, newId, readJob, redo, undo, watchJob } from "../lib/job-store.js";
import { read, watchOthers, watchState, write } from "../lib/store.js";
import { UNITS } from "../units.js";
import { Dock } from "./job-dock.js";
import { EndsView } from "./job-ends-view.js";
import { Head } from "./job-head.js";
import { say, shortened } from "./job-kit.js";
import { startPrint } from "./job-print.js";
import { Rest } from "./job-rest.js";
import { Steps } from "./job-steps.js";
import { blockSentences, pastSentence } from "./job-words.js";
import { button, made } from "./made.js";
import { ScreenOn } from "./screen-on.js";

/** @typedef {import("../lib/job.js").Job} Job */
/** @typedef {import("../lib/job.js").Deed} Deed */
/** @typedef {Record<string, any>} StepText  a step in js/jobs.LANG.js */
/** @typedef {{id: string, title: string, signal: string, says: string}} SheetText */
/** @typedef {{JOBS: Record<string, any>, SHEETS: Record<string, SheetText>, HAZARDS: import("../lib/leads.js").Hazard[]}} Texts  js/jobs.LANG.js */

const VIEW = { store: "kept", key: "card-view" }; // holds {job, step, y, field}
const SCROLL_MS = 400;
const MOST_TOLD = 60; // letters, so that what lies at the thumb leaves two thirds of a small screen free

/** @param {HTMLElement} element @param {import("../main.js").Options} options */
export async function start(element, { words, root }) {
  const { lang } = document.documentElement;
  const [texts, { DECIMAL }] = await Promise.all([import(`../jobs.${lang}.js`), import(`../words.${lang}.js`)]);
  await new Card(element, words, `${root}${lang}/`, texts, DECIMAL).begin();
}

export class Card {
  /** @param {HTMLElement} element @param {Record<string, string>} words @param {string} base  way to the home page of the language @param {Texts} texts @param {string} decimal */
  constructor(element, words, base, { JOBS, SHEETS, HAZARDS }, decimal) {
    Object.assign(element, { hidden: true });
    this.element = element;
    this.words = words;
    this.base = base;
    this.templates = JOBS;
    this.sheetTexts = SHEETS;
    this.hazards = HAZARDS;
    this.decimal = decimal;
    this.units = UNITS;
    /** @type {Job} */
    this.job = newJob({ id: "none", at: 0, name: "" });
    /** Sheets whose confirmation counts, and since when. @type {Record<string, number>} */
    this.sheets = {};
    /** The step that stands open, '' for none. */
    this.open = "";
    /** @type {Map<string, StepText>} step of the template -> its text */
    this.texts = new Map();
    /** @type {Set<{keep: () => Promise<unknown>, unkept: () => import("../lib/job-jot.js").Jotted | null}>} what holds something typed */
    this.leaving = new Set();
    this.lapsing = 0;
    this.scrolling = 0;
  }

  get id() {
    return this.job.id;
  }

  async begin() {
    history.scrollRestoration = "manual";
    await adoptJotted();
    const job = await this.found();
    if (!job || job.gone) {
      this.paintNone(job);
      return;
    }
    const [view, sheets] = await Promise.all([read(VIEW.store, VIEW.key), confirmed(job.id)]);
    this.job = job;
    this.sheets = sheets;
    const stages = this.templates[job.template]?.stages ?? [];
    this.texts = new Map(stages.flatMap((/** @type {any} */ stage) => stage.steps).map((/** @type {StepText} */ step) => [step.id, step]));
    const mine = view?.job === job.id ? view : null;
    const isThere = mine && job.steps[mine.step] && !job.steps[mine.step].gone;
    this.open = mine?.step === "" ? "" : isThere ? mine.step : this.nextStep()?.id ?? "";
    this.build();
    this.paint();
    this.listen();
    this.element.hidden = false;
    this.restore(mine);
    const inUse = await read("kept", "job");
    if (inUse?.id !== job.id) await useJob(job.id);
  }

  /** The card of the address, else the one in use; an address with a template, or a name, makes one. @returns {Promise<Job | null>} */
  async found() {
    const query = new URLSearchParams(location.search);
    const [id, template, name] = ["job", "template", "name"].map((key) => query.get(key) ?? "");
    if (id) return readJob(id);
    if (!this.templates[template] && !name) {
      const inUse = await jobInUse();
      if (inUse) history.replaceState(null, "", `?job=${encodeURIComponent(inUse.id)}`);
      return inUse;
    }
    const job = freshJob(this.words, name, template, this.templates[template]);
    await addJob(job);
    history.replaceState(null, "", `?job=${job.id}`);
    return job;
  }

  build() {
    this.screen = new ScreenOn(this.words);
    this.head = new Head(this);
    this.steps = new Steps(this);
    this.endsView = new EndsView(this);
    this.rest = new Rest(this);
    this.dock = new Dock(this);
    this.page = made("div", { class: "card-page" }, this.head.element, this.steps.element, this.rest.element);
    this.showAll();
    startPrint(this);
  }

  showAll() {
    this.element.replaceChildren(...[this.page, this.endsView?.element, this.dock?.element].filter((part) => part !== undefined));
    this.element.classList.add("card");
  }

  listen() {
    watchJob(this.id, (job) => job && this.take(job));
    watchOthers((places) => places.some(({ store, key }) => store === "confirmed" && key.startsWith(`${this.id}/`)) && void this.readSheets());
    watchState((state) => this.head?.tellState(state));
    const leave = () => {
      void this.keepTyped();
      void this.keepView();
    };
    addEventListener("pagehide", leave);
    addEventListener("pageshow", () => void this.readSheets());
    addEventListener("scroll", () => {
      clearTimeout(this.scrolling);
      this.scrolling = setTimeout(() => void this.keepView(), SCROLL_MS);
    }, { passive: true });
    document.addEventListener("visibilitychange", () => (document.visibilityState === "hidden" ? leave() : void this.readSheets()));
    // An update waits while something is typed.
    this.element.addEventListener("focusin", ({ target }) => isField(target) && (document.documentElement.dataset.busy = "typing"));
    this.element.addEventListener("focusout", () => delete document.documentElement.dataset.busy);
  }

  // -- what it is -----------------------------------------------------------------------------------------------------

  /** The present template's text of a step, null for an own one. @param {string} stepId @returns {StepText | null} */
  textOf(stepId) {
    return this.texts.get(this.job.steps[stepId]?.from) ?? null;
  }

  /** @param {string} stepId @returns {string} */
  titleOf(stepId) {
    return this.textOf(stepId)?.do ?? this.job.steps[stepId].title;
  }

  /** @param {string} sheet @returns {string} */
  sheetTitle(sheet) {
    return this.sheetText(sheet)?.title ?? sheet;
  }

  /** @param {string} sheet  of a card from elsewhere, perhaps one that is not here @returns {SheetText | undefined} */
  sheetText(sheet) {
    return Object.hasOwn(this.sheetTexts, sheet) ? this.sheetTexts[sheet] : undefined;
  }

  /** Why a step may not be ticked. @param {string} stepId */
  blocksOf(stepId) {
    return blocks(this.job, stepId, this.textOf(stepId), this.sheets);
  }

  /** @param {import("../lib/job-ends.js").Block[]} why */
  whyNot(why) {
    return blockSentences(why, (sheet) => this.sheetTitle(sheet), this.words);
  }

  /** The step to be done next: behind `after`, else the first that is not done. @param {string} [after] */
  nextStep(after = "") {
    const steps = allSteps(this.job);
    const n = steps.findIndex(({ id }) => id === after);
    return steps.slice(n + 1).find(({ done }) => !done) ?? steps.find(({ done }) => !done) ?? null;
  }

  // -- what is done ---------------------------------------------------------------------------------------------------

  /**
   * Do something to the card, and say so to a screen reader.
   * @param {(job: Job) => Deed | null} making
   * @param {{step?: string, isQuiet?: boolean, id?: string, at?: number}} [options]  step: has been begun with this; isQuiet: nothing is said
   */
  async act(making, { step = "", isQuiet = false, ...options } = {}) {
    const at = options.at ?? Date.now();
    const done = await doAct(this.id, (job) => begun(making(job), job, step, at), { ...options, at, texts: this.texts });
    this.take(done.job);
    const past = done.did ? this.job.history[done.action] : null;
    if (past && !isQuiet) this.dock?.tell(pastSentence(past, this.words));
    return done;
  }

  /** @param {string} actionId */
  async takeBack(actionId) {
    const past = this.job.history[actionId];
    const { job, did, left, blocks: why } = await undo(this.id, actionId, this.texts);
    this.take(job);
    const what = shortened(pastSentence(past, this.words), MOST_TOLD);
    if (why.length) return this.refuse(say(this.words, "card_undo_held", { what }), why);
    if (!did) return this.dock?.tell(say(this.words, "card_undo_not", { what }), { isLoud: true });
    const key = left.length ? "card_undone_part" : "card_undone";
    return this.dock?.tell(say(this.words, key, { what }), { isLoud: true, act: button(this.words.card_redo, () => this.doAgain(actionId)) });
  }

  /** @param {string} actionId */
  async doAgain(actionId) {
    const { job, did, blocks: why } = await redo(this.id, actionId, this.texts);
    this.take(job);
    const what = pastSentence(this.job.history[actionId], this.words);
    if (why.length) return this.refuse(say(this.words, "card_redo_held", { what }), why);
    return this.dock?.tell(did ? what : say(this.words, "card_redo_not", { what }), { isLoud: !did });
  }

  /** Say what was not done, and why: what was confirmed may have lapsed since the page was painted. @param {string} what @param {import("../lib/job-ends.js").Block[]} why */
  async refuse(what, why) {
    await this.readSheets();
    this.dock?.tell([what, ...this.whyNot(why)].join(" "), { isLoud: true });
  }

  /** The card as the store has it now. @param {Job | null} job */
  take(job) {
    if (!job) return;
    const wasGone = this.job.gone > 0;
    this.job = job;
    if (job.gone && !wasGone) this.putAway();
    if (job.gone) return;
    if (wasGone) this.showAll();
    this.paint();
  }

  /** The card has been deleted, here or in another window: what stands there is the way back. */
  putAway() {
    const { element } = this;
    const hadFocus = element.contains(document.activeElement);
    this.screen?.open(false);
    clearTimeout(this.lapsing);
    element.classList.remove("card");
    this.paintNone(this.job, this.words.card_undo, () => this.bringBack());
    if (hadFocus) /** @type {HTMLElement} */ (element.querySelector("button")).focus();
  }

  async bringBack() {
    await this.act(restoreCard);
    if (!this.job.gone) this.head?.name.focus({ preventScroll: true });
  }

  async readSheets() {
    this.sheets = await confirmed(this.id);
    this.paint();
  }

  /** @param {string} stepId  '' closes */
  openStep(stepId) {
    this.open = stepId;
    this.paint();
    void this.keepView();
  }

  /** Everything that is typed goes to the phone; until it is there, a word of it stands where no waiting is needed. */
  async keepTyped() {
    const parts = [...this.leaving];
    const typed = parts.map((part) => part.unkept()).filter((one) => one !== null);
    if (typed.length) jot(this.id, typed);
    await Promise.all(parts.map((part) => part.keep()));
    if (typed.length) unjot();
  }

  paint() {
    for (const part of [this.head, this.steps, this.endsView, this.rest, this.dock]) part?.paint();
    this.screen?.open(this.open !== "");
    clearTimeout(this.lapsing);
    const first = Math.min(...Object.values(this.sheets));
    if (Number.isFinite(first)) this.lapsing = setTimeout(() => void this.readSheets(), Math.max(0, first + CONFIRMED_MS - Date.now()) + 50);
  }

  // -- where one was --------------------------------------------------------------------------------------------------

  keepView() {
    const active = this.element.contains(document.activeElement) && isField(document.activeElement) ? /** @type {HTMLElement} */ (document.activeElement) : null;
    const view = { job: this.id, step: this.open, y: Math.round(scrollY), field: active?.dataset.key ?? "" };
    // Where nothing can be kept it would only pile up.
    return this.head?.state.dataset.state === "fine" ? write([{ ...VIEW, change: () => view }], { entered: false }) : null;
  }

  /** @param {{y: number, field: string} | null} view */
  restore(view) {
    if (view) {
      scrollTo(0, view.y);
      const field = view.field && /** @type {HTMLElement | null} */ (this.element.querySelector(`[data-key="${CSS.escape(view.field)}"]`));
      if (field) field.focus({ preventScroll: true });
      return;
    }
    if (allSteps(this.job).some(({ done }) => done)) this.steps?.show(this.open);
  }

  /** @param {Job | null} job  one that has been deleted @param {string} [label]  of the way back @param {() => unknown} [bringBack] */
  paintNone(job, label = this.words.card_bring_back, bringBack = () => this.restoreAndLoad(job?.id ?? "")) {
    const { words, base, element } = this;
    const name = job?.name.trim() || words.confirm_unnamed;
    const lead = made("p", { class: "lead", id: "card-none" }, job ? say(words, "card_gone", { name }) : words.card_missing);
    const back = job && button(label, bringBack, { class: "card-wide", "aria-describedby": lead.id });
    element.replaceChildren(made("div", { class: "card-none" }, lead, back, made("a", { class: "link", href: `${base}job/` }, made("b", {}, words.card_to_list))));
    element.hidden = false;
  }

  /** @param {string} id */
  async restoreAndLoad(id) {
    await doAct(id, restoreCard);
    location.reload();
  }
}

/** @param {Record<string, string>} words @param {string} name @param {string} template @param {any} text  of the template */
function freshJob(words, name, template, text) {
  const stages = text ? text.stages : [{ title: words.card_first_stage, steps: [] }];
  return newJob({ id: newId(), at: Date.now(), name: name || text.title, template: text ? template : "", stages });
}

/** A deed that also notes that its step has been begun. @param {Deed | null} deed @param {Job} job @param {string} stepId @param {number} at @returns {Deed | null} */
function begun(deed, job, stepId, at) {
  const step = job.steps[stepId];
  if (!deed || !step || step.began || step.done) return deed;
  return { ...deed, sets: [...deed.sets, { path: ["steps", stepId, "began"], to: at }] };
}

/** @param {EventTarget | null} target */
function isField(target) {
  return target instanceof HTMLTextAreaElement || (target instanceof HTMLInputElement && target.type === "text");
}
