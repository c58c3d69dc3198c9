/**
 * The stages and steps of a card, one step open at a time. A change repaints only what it touches: each row remembers what it was
 * painted from.
 */

import { openEnds } from "../lib/job-ends.js";
import { stagesOf, stepsOf } from "../lib/job-list.js";
import { endOfSteps, StageEdit } from "./job-edit.js";
import { focusOn, give, renew, say } from "./job-kit.js";
import { StepBody } from "./job-step.js";
import { when } from "./job-words.js";
import { button, made } from "./made.js";

/** @param {HTMLElement} place */
function shut(place) {
  place.replaceChildren();
  place.hidden = true;
}

/** @typedef {{item: HTMLElement, head: HTMLElement, place: HTMLElement}} Row */
/** @typedef {{section: HTMLElement, heading: HTMLElement, says: HTMLElement, list: HTMLElement, edit: StageEdit}} StagePart */

export class Steps {
  /** @param {import("./job-card.js").Card} card */
  constructor(card) {
    this.card = card;
    /** @type {Map<string, Row>} */
    this.rows = new Map();
    /** @type {Map<string, StagePart>} */
    this.stages = new Map();
    /** @type {StepBody | null} */
    this.body = null;
    this.order = "";
    /** Whether stages show what changes them. */
    this.isChanging = false;
    this.list = made("div", { class: "card-stages" });
    this.end = endOfSteps(card);
    this.change = button(card.words.card_change, () => this.toggleChanging(), { class: "card-wide", "aria-pressed": "false" });
    this.element = made("div", {}, this.list, made("div", { class: "card-change" }, this.change, this.end));
  }

  toggleChanging() {
    this.isChanging = !this.isChanging;
    this.change.setAttribute("aria-pressed", String(this.isChanging));
    this.paint();
  }

  paint() {
    const { job } = this.card;
    const stages = stagesOf(job).map((stage) => ({ stage, steps: stepsOf(job, stage.id) }));
    const order = JSON.stringify(stages.map(({ stage, steps }) => [stage.id, steps.map(({ id }) => id)]));
    if (order !== this.order) this.arrange(stages);
    this.order = order;
    stages.forEach(({ stage, steps }, n) => this.paintStage(stage, steps, n + 1));
    this.end.hidden = !this.isChanging;
    const loose = new Map();
    for (const { step } of openEnds(job)) loose.set(step, (loose.get(step) ?? 0) + 1);
    const next = this.card.nextStep()?.id;
    for (const { steps } of stages) for (const step of steps) this.paintRow(step, loose.get(step.id) ?? 0, step.id === next);
    this.paintBody();
  }

  /** Puts stages and rows into their order, without making again those that are there. @param {{stage: import("../lib/job-list.js").ListedStage, steps: import("../lib/job-list.js").ListedStep[]}[]} stages */
  arrange(stages) {
    const active = /** @type {HTMLElement | null} */ (document.activeElement);
    const wasInside = active && this.element.contains(active);
    const sections = stages.map(({ stage, steps }) => {
      const part = this.stages.get(stage.id) ?? this.newStage(stage.id);
      part.list.replaceChildren(...steps.map(({ id }) => (this.rows.get(id) ?? this.newRow(id)).item));
      return part.section;
    });
    this.list.replaceChildren(...sections);
    const known = new Set(stages.flatMap(({ steps }) => steps.map(({ id }) => id)));
    for (const id of this.rows.keys()) if (!known.has(id)) this.rows.delete(id);
    if (wasInside && active.isConnected) active.focus({ preventScroll: true });
    else if (wasInside) focusOn(this.list);
  }

  /** @param {string} id @returns {StagePart} */
  newStage(id) {
    const heading = made("h2", { id: `stage-${id}` });
    const [says, list] = [made("p", { class: "job-says" }), made("ol", { class: "card-steps" })];
    const edit = new StageEdit(this.card, id);
    const section = made("section", { class: "card-stage", "aria-labelledby": heading.id }, heading, says, list, edit.element);
    const part = { section, heading, says, list, edit };
    this.stages.set(id, part);
    return part;
  }

  /** @param {string} id @returns {Row} */
  newRow(id) {
    const { card } = this;
    const head = button("", () => card.openStep(card.open === id ? "" : id), { class: "card-step-head", "aria-controls": `body-${id}`, "data-key": `step ${id}` });
    const place = made("div", { id: `body-${id}`, class: "card-step-body", hidden: true });
    const row = { head, place, item: made("li", { class: "card-step", "data-step": id }, made("h3", {}, head), place) };
    this.rows.set(id, row);
    return row;
  }

  /** @param {import("../lib/job-list.js").ListedStage} stage @param {import("../lib/job-list.js").ListedStep[]} steps @param {number} number */
  paintStage({ id, title }, steps, number) {
    const { card } = this;
    const { heading, says, edit } = /** @type {StagePart} */ (this.stages.get(id));
    const done = steps.filter((step) => step.done).length;
    const of = steps.length;
    renew(heading, [number, title, done, of], () => [
      say(card.words, "job_stage", { number, title }), " ", made("span", { class: "card-of" }, say(card.words, "card_stage_of", { done, of })),
    ]);
    const stages = card.templates[card.job.template]?.stages ?? [];
    const text = stages.find((/** @type {{title: string}} */ one) => one.title === title)?.says ?? "";
    says.hidden = !text;
    renew(says, text, () => [text]);
    edit.element.hidden = !this.isChanging && of > 0;
    edit.paint();
  }

  /** @param {import("../lib/job-list.js").ListedStep} step @param {number} loose @param {boolean} isNext */
  paintRow({ id, done, interrupted }, loose, isNext) {
    const { card } = this;
    const { words } = card;
    const { item, head } = /** @type {Row} */ (this.rows.get(id));
    const isOpen = card.open === id;
    give(item, "data-state", done ? "done" : isNext ? "next" : "open");
    give(item, "class", isOpen ? "card-step is-open" : "card-step");
    give(head, "aria-expanded", isOpen);
    const title = card.titleOf(id);
    renew(head, [title, done, interrupted, loose, isNext], () => {
      const marks = [done ? say(words, "card_step_done", { at: when(done) }) : isNext ? words.card_step_next : "", interrupted ? words.card_step_interrupted : ""].filter(Boolean);
      const tag = loose ? made("span", { class: "card-mini" }, loose === 1 ? words.card_step_end : say(words, "card_step_ends", { count: loose })) : null;
      const below = marks.length || tag ? made("span", { class: "card-marks" }, marks.join(" · "), tag) : null;
      return [made("span", { class: "card-box", "aria-hidden": "true" }, done ? "✓" : ""), made("span", { class: "card-step-says" }, made("b", {}, title), below)];
    });
  }

  /** The inside of the open step. */
  paintBody() {
    const { card } = this;
    const row = this.rows.get(card.open);
    if (this.body?.id !== card.open || !row) {
      this.body?.end();
      for (const { place } of this.rows.values()) if (!place.hidden) shut(place);
      this.body = row ? new StepBody(card, card.open) : null;
    }
    if (!row || !this.body) return;
    if (row.place.firstChild !== this.body.element) row.place.replaceChildren(this.body.element);
    row.place.hidden = false;
    this.body.paint();
  }

  /** Bring a step into sight. @param {string} id @param {{isFocused?: boolean}} [options] */
  show(id, { isFocused = false } = {}) {
    const row = this.rows.get(id);
    row?.item.scrollIntoView({ block: "start" });
    if (isFocused) row?.head.focus({ preventScroll: true });
  }
}
