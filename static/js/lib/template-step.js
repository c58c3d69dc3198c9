/** What the present template (js/jobs.LANG.js) says of a step of a card. No DOM. */

/**
 * @param {Record<string, any>} jobs  JOBS of js/jobs.LANG.js
 * @param {import("./job.js").Job} job
 * @param {string} stepId  of the card, '' for none
 * @returns {any} null: an own step, or the template has it no longer
 */
export function templateStep(jobs, job, stepId) {
  const from = Object.hasOwn(job.steps, stepId) ? job.steps[stepId].from : "";
  const stages = Object.hasOwn(jobs, job.template) ? jobs[job.template].stages : [];
  return stages.flatMap((/** @type {any} */ { steps }) => steps).find((/** @type {any} */ { id }) => from !== "" && id === from) ?? null;
}
