/**
 * The stages and steps of a card in their order, and what stands at each step. Pure. Deleted things are left out, but nothing that
 * hangs on a deleted one is.
 *
 * @typedef {import("./job.js").Job} Job
 * @typedef {import("./job.js").Stage & {id: string}} ListedStage
 * @typedef {import("./job.js").Step & {id: string}} ListedStep
 */

/** Stages in order: those not deleted, and those that another window has put a step into. @param {Job} job @returns {ListedStage[]} */
export function stagesOf(job) {
  const filled = new Set(Object.values(job.steps).filter(({ gone }) => !gone).map(({ stage }) => stage));
  return inOrder(Object.entries(job.stages).filter(([id, { gone }]) => !gone || filled.has(id)));
}

/** Steps of a stage in order. @param {Job} job @param {string} stage @returns {ListedStep[]} */
export function stepsOf(job, stage) {
  return inOrder(Object.entries(job.steps).filter(([, step]) => step.stage === stage && !step.gone));
}

/** All steps in order, stage by stage. @param {Job} job @returns {ListedStep[]} */
export function allSteps(job) {
  return stagesOf(job).flatMap(({ id }) => stepsOf(job, id));
}

/** How far the work is. @param {Job} job @returns {{done: number, of: number}} */
export function progress(job) {
  const steps = allSteps(job);
  return { done: steps.filter(({ done }) => done).length, of: steps.length };
}

/**
 * What hangs on a step and is not deleted, the oldest first. A step '' gathers what hangs on no step or on a deleted one.
 * @template {"ends" | "entries" | "rounds" | "kept" | "photos"} Name
 * @param {Job} job
 * @param {Name} name
 * @param {string} stepId
 * @returns {({id: string} & Job[Name][string])[]}
 */
export function thingsAt(job, name, stepId) {
  const things = /** @type {[string, any][]} */ (Object.entries(job[name])).filter(([, { gone, step }]) => !gone && (isStep(job, step) ? step : "") === stepId);
  return things.map(([id, thing]) => ({ id, ...thing })).sort((one, other) => one.at - other.at || (one.id < other.id ? -1 : 1));
}

/** What another window made of a step's note at the same time: texts that wait for a choice. @param {Job} job @param {string} stepId */
export function notesBeside(job, stepId) {
  return thingsAt(job, "entries", stepId).filter(({ sort }) => sort === "note");
}

/**
 * Steps of the present template that the card lacks: it was made from an earlier one.
 * @template {import("./job.js").TemplateStep} T
 * @param {Job} job
 * @param {{steps: T[]}[]} stages
 * @returns {T[]}
 */
export function stepsLacking(job, stages) {
  const known = new Set(Object.values(job.steps).map(({ from }) => from));
  return stages.flatMap(({ steps }) => steps).filter(({ id }) => !known.has(id) && !Object.hasOwn(job.steps, id));
}

/** @param {Job} job @param {string} id */
function isStep(job, id) {
  return Object.hasOwn(job.steps, id) && !job.steps[id].gone;
}

/** @template {{place: number}} T @param {[string, T][]} entries @returns {(T & {id: string})[]} */
function inOrder(entries) {
  return entries.map(([id, one]) => ({ ...one, id })).sort((one, other) => one.place - other.place || (one.id < other.id ? -1 : 1));
}
