/** Changing a card's own shape: steps and stages are added, put into other words, moved by buttons, deleted. */

import { addStage, addStep, moveStage, moveStep, renameStage, rewordStep, takeStep } from "../lib/step-deeds.js";
import { remove } from "../lib/job-deeds.js";
import { stagesOf, stepsLacking, stepsOf } from "../lib/job-list.js";
import { newId } from "../lib/job-store.js";
import { fold, labelled, newName, renew, renewEach, say } from "./job-kit.js";
import { button, made } from "./made.js";
import { SheetChoice } from "./sheet-choice.js";

/** @typedef {import("./job-card.js").Card} Card */

/**
 * A field with the button that uses its text; empty, it says so.
 * @param {Card} card @param {string} label @param {string} act
 * @param {(text: string) => Promise<boolean>} use  whether it was used: what could not be stays typed
 * @param {{value?: string, most?: number, below?: HTMLElement[], typed?: (text: string) => void}} [given]  below: what stands between field and button
 */
function asked(card, label, act, use, { value = "", most = 500, below = [], typed } = {}) {
  const problem = made("p", { class: "fault", role: "status", id: newName("card-problem"), hidden: true });
  const field = made("input", { type: "text", autocomplete: "off", value, maxlength: most, "aria-describedby": problem.id });
  const go = async () => {
    const text = field.value.trim();
    problem.hidden = text !== "";
    problem.textContent = text ? "" : say(card.words, "card_text_missing", { label });
    if (!text) {
      field.focus();
      return;
    }
    if ((await use(text)) && !value) field.value = "";
  };
  if (typed) field.addEventListener("input", () => typed(field.value));
  field.addEventListener("keydown", ({ key }) => key === "Enter" && void go());
  return made("div", { class: "card-form" }, labelled(label, field), problem, ...below, button(act, go));
}

/** @param {Card} card @param {string} stage @param {() => string} after  step behind which it comes, '' for the end */
function stepAdder(card, stage, after) {
  const { words } = card;
  const gate = made("input", { type: "checkbox", autocomplete: "off" });
  const sheets = new SheetChoice(card);
  const use = async (/** @type {string} */ title) => {
    const id = newId();
    const given = { title, after: after(), gate: /** @type {"" | "first-start"} */ (gate.checked ? "first-start" : ""), needs: sheets.sheets };
    const { did } = await card.act((job) => addStep(job, id, { stage: job.steps[given.after]?.stage ?? stage, ...given }));
    if (!did) return false;
    gate.checked = false;
    sheets.clear();
    card.openStep(id);
    card.steps?.show(id, { isFocused: true });
    return true;
  };
  const below = [made("label", { class: "card-check" }, gate, made("span", {}, words.card_step_gate)), sheets.element];
  return asked(card, words.card_step_new, words.card_step_add, use, { most: 2000, below, typed: (text) => sheets.follow(text) });
}

/** Other words for an own step, and the cautions that it needs. @param {Card} card @param {string} id */
function stepReworder(card, id) {
  const { title, needs } = card.job.steps[id];
  const sheets = new SheetChoice(card, needs);
  sheets.follow(title);
  const use = async (/** @type {string} */ text) => (await card.act((job) => rewordStep(job, id, text, sheets.sheets))).did;
  return asked(card, card.words.card_step_words, card.words.card_step_reword, use, { value: title, most: 2000, below: [sheets.element], typed: (text) => sheets.follow(text) });
}

/** The fold at the end of an open step. */
export class StepEdit {
  /** @param {Card} card @param {string} id */
  constructor(card, id) {
    this.card = card;
    this.id = id;
    this.inside = made("div", {});
    this.element = fold(card.words.card_step_change, this.inside);
    this.element.addEventListener("toggle", () => this.build());
  }

  /** Few steps are ever changed: the inside is made when the fold is first opened. */
  build() {
    const { card, id } = this;
    if (this.inside.childNodes.length) return;
    const { words } = card;
    const step = card.job.steps[id];
    const move = (/** @type {-1 | 1} */ by, /** @type {string} */ text) => button(text, async () => {
      await card.act((job) => moveStep(job, id, by));
      card.steps?.rows.get(id)?.item.scrollIntoView({ block: "nearest" });
    }, { "data-key": `move ${by}` });
    const off = button(words.card_step_delete, () => this.remove(), { class: "card-off" });
    const own = step.from ? [] : [stepReworder(card, id)];
    this.inside.append(
      made("div", { class: "card-acts" }, move(-1, words.card_up), move(1, words.card_down)), ...own,
      stepAdder(card, step.stage, () => id), made("div", { class: "card-acts" }, off),
    );
  }

  async remove() {
    const { card, id } = this;
    const list = stepsOf(card.job, card.job.steps[id].stage).map((step) => step.id);
    const near = list[list.indexOf(id) + 1] ?? list[list.indexOf(id) - 1] ?? "";
    const { did } = await card.act((job) => remove(job, "steps", id, Date.now()));
    if (!did) return;
    card.openStep("");
    if (near) card.steps?.rows.get(near)?.head.focus();
  }
}

/** The fold at the end of a stage. */
export class StageEdit {
  /** @param {Card} card @param {string} id */
  constructor(card, id) {
    this.card = card;
    this.id = id;
    this.inside = made("div", {});
    this.element = fold(card.words.card_stage_change, this.inside);
    this.element.classList.add("card-stage-edit");
    this.element.addEventListener("toggle", () => this.paint());
  }

  /** A card has many stages and few are ever changed: the inside is made when the fold is opened. */
  paint() {
    const { card, id } = this;
    if (!this.element.open) return;
    const { title } = card.job.stages[id];
    const { words } = card;
    renew(this.inside, title, () => [
      stepAdder(card, id, () => ""),
      asked(card, words.card_stage_words, words.card_stage_rename, async (text) => (await card.act((job) => renameStage(job, id, text))).did, { value: title }),
      made("div", { class: "card-acts" }, this.mover(-1, words.card_stage_up), this.mover(1, words.card_stage_down), button(words.card_stage_delete, () => card.act((job) => remove(job, "stages", id, Date.now())), { class: "card-off" })),
    ]);
  }

  /** @param {-1 | 1} by @param {string} text */
  mover(by, text) {
    const { card, id } = this;
    return button(text, async () => {
      await card.act((job) => moveStage(job, id, by));
      this.element.scrollIntoView({ block: "nearest" });
    }, { "data-key": `move ${by}` });
  }
}

/** Below the last stage: another stage, and what the present template has that this card lacks. @param {Card} card */
export function endOfSteps(card) {
  const { words } = card;
  const adder = asked(card, words.card_stage_new, words.card_stage_add, async (title) => {
    const id = newId();
    return (await card.act((job) => addStage(job, id, title))).did;
  });
  const element = fold(words.card_stage_more, adder);
  const stages = card.templates[card.job.template]?.stages ?? [];
  const list = made("ul", { class: "card-entries" });
  const lacking = made("div", {}, made("h4", {}, words.card_lacking), list);
  const paint = () => {
    const steps = stepsLacking(card.job, stages);
    lacking.hidden = !steps.length;
    renewEach(list, steps.map((/** @type {any} */ step) => ({ ...step })), (step) => [
      made("p", {}, step.do),
      button(words.card_lacking_take, () => card.act((job) => takeStep(job, step, stagesOf(job).at(-1)?.id ?? "")).then(paint), { "aria-label": say(words, "card_lacking_take_what", { step: step.do }) }),
    ]);
  };
  element.append(lacking);
  element.addEventListener("toggle", () => element.open && paint());
  return element;
}
