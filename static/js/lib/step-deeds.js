/** What a person can do to the steps and stages of a card: see job-deeds.js. Pure. */

import { newStep } from "./job.js";
import { stagesOf, stepsOf } from "./job-list.js";
import { setOf } from "./job-paths.js";

/** @typedef {import("./job.js").Job} Job */
/** @typedef {import("./job.js").Deed} Deed */
/** @typedef {import("./job.js").Field} Field */

/** @param {Job} job @param {string} id @param {number} at @returns {Deed | null} */
export function begin(job, id, at) {
  const step = job.steps[id];
  return step && !step.began && !step.done ? { what: "begin", fields: { step: step.title }, sets: [setOf("steps", id, "began", at)] } : null;
}

/** Done. `act` holds it back while a sheet that the step needs is not confirmed, or a loose end is open at a first start. @param {Job} job @param {string} id @param {number} at @returns {Deed | null} */
export function tick(job, id, at) {
  const step = job.steps[id];
  if (!step || step.done) return null;
  return { what: "tick", fields: { step: step.title }, sets: [setOf("steps", id, "done", at), setOf("steps", id, "interrupted", 0)] };
}

/** @param {Job} job @param {string} id @returns {Deed | null} */
export function untick(job, id) {
  const step = job.steps[id];
  return step?.done ? { what: "untick", fields: { step: step.title }, sets: [setOf("steps", id, "done", 0)] } : null;
}

/**
 * An own step behind another one of the same stage, or at the end of it.
 * @param {Job} job @param {string} id
 * @param {{stage: string, title: string, after?: string, gate?: "" | "first-start", needs?: string[]}} given  needs: caution sheets
 * @returns {Deed | null}
 */
export function addStep(job, id, { stage, title, after = "", gate = "", needs = [] }) {
  if (!job.stages[stage]) return null;
  const step = { ...newStep({ id: "", do: title, gate }, stage, 0), needs };
  return { what: "step_add", fields: { step: title }, sets: orderedInto(job, stage, id, after || stepsOf(job, stage).at(-1)?.id || "", { ...step }) };
}

/** A step that the present template has and the card lacks, at the end of a stage. @param {Job} job @param {import("./job.js").TemplateStep} text @param {string} stage @returns {Deed | null} */
export function takeStep(job, text, stage) {
  if (!job.stages[stage] || job.steps[text.id]) return null;
  return { what: "step_add", fields: { step: text.do }, sets: orderedInto(job, stage, text.id, stepsOf(job, stage).at(-1)?.id ?? "", newStep(text, stage, 0)) };
}

/** Other words, and other cautions, for an own step. @param {Job} job @param {string} id @param {string} title @param {string[]} needs  caution sheets @returns {Deed | null} */
export function rewordStep(job, id, title, needs) {
  const step = job.steps[id];
  if (!step || step.from) return null;
  const what = step.title === title ? "step_needs" : "step_reword";
  return { what, fields: { step: title }, sets: [setOf("steps", id, "title", title), setOf("steps", id, "needs", needs)] };
}

/** One place up (-1) or down (1), over the edge into the next stage. @param {Job} job @param {string} id @param {-1 | 1} by @returns {Deed | null} */
export function moveStep(job, id, by) {
  const step = job.steps[id];
  if (!step || step.gone) return null;
  const list = stepsOf(job, step.stage).map((one) => one.id);
  const n = list.indexOf(id) + by;
  const deed = (/** @type {Field[]} */ sets) => ({ what: "step_move", fields: { step: step.title }, sets });
  if (n >= 0 && n < list.length) return deed(orderedInto(job, step.stage, id, (by > 0 ? list[n] : list[n - 1]) ?? "", null));
  const stages = stagesOf(job).map((one) => one.id);
  const stage = stages[stages.indexOf(step.stage) + by];
  if (stage === undefined) return null;
  const after = by > 0 ? "" : stepsOf(job, stage).at(-1)?.id ?? "";
  return deed([setOf("steps", id, "stage", stage), ...orderedInto(job, stage, id, after, null)]);
}

/** An own stage at the end. @param {Job} job @param {string} id @param {string} title @returns {Deed} */
export function addStage(job, id, title) {
  const place = Math.max(0, ...Object.values(job.stages).map((stage) => stage.place)) + 1;
  return { what: "stage_add", fields: { stage: title }, sets: [{ path: ["stages", id], to: { title, place, gone: 0 } }] };
}

/** @param {Job} job @param {string} id @param {string} title @returns {Deed | null} */
export function renameStage(job, id, title) {
  return job.stages[id] ? { what: "stage_rename", fields: { stage: title }, sets: [setOf("stages", id, "title", title)] } : null;
}

/** @param {Job} job @param {string} id @param {-1 | 1} by @returns {Deed | null} */
export function moveStage(job, id, by) {
  const list = stagesOf(job);
  const n = list.findIndex((stage) => stage.id === id);
  const other = list[n + by];
  if (n < 0 || !other) return null;
  [list[n], list[n + by]] = [other, list[n]];
  return { what: "stage_move", fields: { stage: job.stages[id].title }, sets: list.map((stage, m) => setOf("stages", stage.id, "place", m + 1)) };
}

/**
 * A note as typed. `base` is the text that stood in the field when the person began or last saved, `other` one id for as long as the
 * field is open: should another window have changed the note meanwhile, both texts are kept (`notesBeside`).
 * @param {Job} job @param {string} id @param {string} text @param {{base: string, other: string, joins?: string}} typed  joins: the last save of the same typing
 * @returns {Deed | null}
 */
export function writeNote(job, id, text, { base, other, joins }) {
  const step = job.steps[id];
  return step ? { what: "note", fields: { step: step.title }, sets: [{ ...setOf("steps", id, "note", text), base, other }], joins } : null;
}

/** Choose between a note and the text of another window: the text that shall stand. @param {Job} job @param {string} entryId @param {string} text @param {number} at @returns {Deed | null} */
export function settleNote(job, entryId, text, at) {
  const entry = job.entries[entryId];
  const step = entry && job.steps[entry.step];
  if (!step || entry.sort !== "note" || entry.gone) return null;
  return { what: "note_settle", fields: { step: step.title }, sets: [setOf("steps", entry.step, "note", text), setOf("entries", entryId, "gone", at)] };
}

// -- inside ---------------------------------------------------------------------------------------------------------

/**
 * A step's place behind `after` ('': in front of all) in a stage: midway between its neighbours, so that nothing else is written; where
 * there is no room between them, all steps of the stage are numbered anew.
 * @param {Job} job @param {string} stage @param {string} id @param {string} after
 * @param {import("./job.js").Step | null} fresh  the step, when it is new
 * @returns {Field[]}
 */
function orderedInto(job, stage, id, after, fresh) {
  const list = stepsOf(job, stage).filter((one) => one.id !== id);
  const n = list.findIndex((one) => one.id === after) + 1;
  const before = list[n - 1]?.place;
  const behind = list[n]?.place;
  const place = before === undefined ? (behind ?? 2) - 1 : behind === undefined ? before + 1 : (before + behind) / 2;
  const isBetween = (before === undefined || before < place) && (behind === undefined || place < behind);
  const placed = (/** @type {number} */ at) => (fresh ? { path: ["steps", id], to: { ...fresh, place: at } } : setOf("steps", id, "place", at));
  if (isBetween) return [placed(place)];
  const order = [...list.slice(0, n).map((one) => one.id), id, ...list.slice(n).map((one) => one.id)];
  return order.map((one, m) => (one === id ? placed(m + 1) : setOf("steps", one, "place", m + 1)));
}
