/**
 * The page of a torque round: which card and which round it is, then either the form that sets one up or the round at work. The
 * phone's store is the state; what is shown follows it, another window's changes too.
 */

import { RoundFigures } from "../lib/round-figures.js";
import { confirmed } from "../lib/confirmed.js";
import { sheetsOf } from "../lib/job-ends.js";
import { jobMeant } from "../lib/job-in-use.js";
import { watchJob } from "../lib/job-store.js";
import { watchState } from "../lib/store.js";
import { templateStep } from "../lib/template-step.js";
import { cardChoice, nameOf } from "./card-choice.js";
import { fill } from "./figure-paint.js";
import { made, link } from "./made.js";
import { RoundSetup } from "./round-setup.js";
import { RoundWork } from "./round-work.js";
import { UNITS } from "../units.js";

/** @typedef {import("../lib/job.js").Job} Job */
/** @typedef {import("../lib/job.js").Round} Round */
/** @typedef {{words: Record<string, string>, figures: RoundFigures, base: string, jobs: Record<string, any>, sheets: Record<string, import("./job-card.js").SheetText>}} Tools
 *   base: way to the home page of the language; jobs: the templates; sheets: the cautions */

/** @param {HTMLElement} element @param {import("../main.js").Options} options */
export async function start(element, { words, root }) {
  const { lang } = document.documentElement;
  const [order, adapter, range, { JOBS, SHEETS }, { DECIMAL }] = await Promise.all([
    import(`../figures/tightening-order.${lang}.js`), import(`../figures/torque-adapter.${lang}.js`), import(`../figures/wrench-range.${lang}.js`), import(`../jobs.${lang}.js`), import(`../words.${lang}.js`),
  ]);
  const figures = new RoundFigures({ order, adapter, range, units: UNITS, words, decimal: DECIMAL });
  await new TorqueRound(element, { words, figures, base: `${root}${lang}/`, jobs: JOBS, sheets: SHEETS }).begin();
}

class TorqueRound {
  /** @param {HTMLElement} element @param {Tools} tools */
  constructor(element, tools) {
    this.element = element;
    this.tools = tools;
    this.body = made("div", { class: "round" });
    this.state = made("p", { class: "round-state", role: "status" });
    /** Ends the watching of the round shown last. */
    this.stop = () => {};
    element.append(this.state, this.body);
  }

  async begin() {
    const { words } = this.tools;
    watchState((state) => {
      this.state.textContent = state === "fine" ? "" : words[`caution_state_${state}`];
      // While another window is in the way nothing can be read; the person shall know why.
      if (state === "blocked") this.element.hidden = false;
    });
    await this.open();
    this.element.hidden = false;
  }

  async open() {
    const query = new URLSearchParams(location.search);
    this.stop();
    const { job, lacks } = await jobMeant(query.get("job") ?? "");
    if (!job) return this.askForCard(lacks && this.tools.words[`round_card_${lacks}`], query);
    const id = query.get("round") ?? "";
    if (!id) return this.setUp(job, query);
    const round = Object.hasOwn(job.rounds, id) ? job.rounds[id] : null;
    if (round && !round.gone) return this.work(job, id);
    query.delete("round");
    return this.setUp(job, query, this.tools.words.round_missing);
  }

  /** @param {string} sentence @param {URLSearchParams} query */
  async askForCard(sentence, query) {
    const choice = await cardChoice(this.tools.words, (job) => {
      query.set("job", job.id);
      this.goTo(query);
    });
    this.body.replaceChildren(...(sentence ? [made("p", { class: "fault" }, sentence)] : []), choice);
  }

  /** @param {Job} job @param {URLSearchParams} query @param {string} [sentence]  what has to be said first */
  async setUp(job, query, sentence = "") {
    const setup = new RoundSetup(this.tools, job, query, (id) => this.goTo(new URLSearchParams({ job: job.id, round: id })));
    const open = Object.entries(job.rounds).filter(([, { gone }]) => !gone);
    this.body.replaceChildren(
      ...(sentence ? [made("p", { class: "fault" }, sentence)] : []), this.cardLine(job), ...(await this.sheets(job, query.get("step") ?? "")),
      ...(open.length ? [this.others(job, open)] : []), setup.element,
    );
  }

  /** @param {Job} job @param {string} id */
  async work(job, id) {
    const work = new RoundWork(this.tools, job, id, (query) => this.goTo(query));
    this.body.replaceChildren(...(await this.sheets(job, job.rounds[id].step)), work.element);
    work.begin();
    this.stop = watchJob(job.id, (now) => now && work.follow(now));
  }

  /** Another state of this page: the way back leads to the card, not through the form. @param {URLSearchParams} query */
  goTo(query) {
    history.replaceState(null, "", `${location.pathname}?${query}`);
    void this.open().then(() => {
      const first = /** @type {HTMLElement | null} */ (this.body.querySelector(".round-mark") ?? this.body.querySelector("h2"));
      first?.focus({ preventScroll: true });
      scrollTo(0, 0);
    });
  }

  /** @param {Job} job */
  cardLine(job) {
    const { words, base } = this.tools;
    const way = link(`${base}job/card/?job=${encodeURIComponent(job.id)}`, fill(words.round_to_card, { name: nameOf(job, words) }));
    return made("p", { class: "round-card" }, way);
  }

  /** Rounds that the card has already. @param {Job} job @param {[string, Round][]} rounds */
  others(job, rounds) {
    const { words } = this.tools;
    const line = (/** @type {[string, Round]} */ [id, { label, done }]) => {
      const way = link(`./?${new URLSearchParams({ job: job.id, round: id })}`, "", { class: "link" });
      way.append(made("b", {}, label), made("span", {}, done ? words.round_is_done : words.round_goes_on));
      return made("li", {}, way);
    };
    return made("section", { "aria-labelledby": "rounds" }, made("h2", { id: "rounds" }, words.round_on_card), made("ul", { class: "links" }, ...rounds.map(line)));
  }

  /** The caution sheets of the step that are not confirmed for this card now. @param {Job} job @param {string} stepId @returns {Promise<HTMLElement[]>} */
  async sheets(job, stepId) {
    const step = Object.hasOwn(job.steps, stepId) ? job.steps[stepId] : null;
    if (!step) return [];
    const { words, base } = this.tools;
    const known = await confirmed(job.id);
    const missing = sheetsOf(step, templateStep(this.tools.jobs, job, stepId)).filter((id) => !Object.hasOwn(known, id));
    const strips = missing.flatMap((id) => this.tools.sheets[id] ?? []).map(({ id, title, signal }) => {
      const way = link(`${base}cautions/${id}/?job=${encodeURIComponent(job.id)}`, "", { class: "strip strip-short" });
      way.append(made("b", { class: `signal signal-${signal.toLowerCase()}` }, words[`signal_word_${signal}`]), made("span", { class: "strip-title" }, made("b", {}, title)));
      return way;
    });
    return strips.length ? [made("aside", { class: "strips", "aria-label": words.round_sheets }, made("p", {}, words.round_sheets), ...strips)] : [];
  }
}
