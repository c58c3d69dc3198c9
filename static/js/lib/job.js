/**
 * A job card and how it changes. Pure: no DOM, no store, no clock; times (ms since 1970; 0: not) and ids are handed in.
 *
 * Everything a person does is one action: a list of single fields to set, or of whole new things to add. `act` gives the card
 * afterwards and notes in its history what stood there before, so that `undo` of job-history.js can put it back. A card is never changed
 * in place.
 * Two windows may both act on a card as the store has it: what stands in different fields, or in different things of a map, goes
 * together. Nothing is really removed: `gone` is the time of deletion, and whatever hangs on a deleted thing stays.
 *
 * The actions themselves are made in job-deeds.js, step-deeds.js, end-deeds.js and round-deeds.js; loose ends are counted, and steps held back, in job-ends.js; torque rounds are
 * read in job-rounds.js; job-shape.js says what fits into a card.
 *
 * @typedef {object} Job
 * @property {1} schema
 * @property {string} id
 * @property {string} name
 * @property {string} template  id of the template that it was made from, '' for none
 * @property {number} made
 * @property {number} interrupted  since when the work is interrupted
 * @property {number} gone
 * @property {Record<string, Stage>} stages
 * @property {Record<string, Step>} steps
 * @property {Record<string, End>} ends
 * @property {Record<string, Entry>} entries
 * @property {Record<string, Round>} rounds
 * @property {Record<string, Kept>} kept
 * @property {Record<string, Photo>} photos  the pictures themselves are in the store 'photos' under the same ids
 * @property {Record<string, Past>} history  in the order of the actions, the last 200
 *
 * @typedef {{title: string, place: number, gone: number}} Stage  place: stages and steps stand in the order of it
 * @typedef {object} Step
 * @property {string} stage
 * @property {number} place
 * @property {string} from   step of the template, '' for an own one
 * @property {string} title  as the template had it when the card was made, or own words
 * @property {string[]} needs  sheets that must be confirmed; the template's present ones count besides
 * @property {"" | "first-start"} gate  first-start: cannot be ticked while a loose end is open
 * @property {number} began
 * @property {number} interrupted
 * @property {number} done
 * @property {string} note
 * @property {number} gone
 *
 * @typedef {(typeof import("./job-shape.js").END_KINDS)[number]} EndKind
 * @typedef {object} End  a loose end: something temporarily undone
 * @property {string} step  '' for none
 * @property {EndKind} kind  its word is job_end_KIND
 * @property {string} words  of kind 'own': what it is
 * @property {string} place
 * @property {number} count   pieces, 1 at least
 * @property {number} closed  pieces closed so far
 * @property {string} size
 * @property {string} bag
 * @property {number} at
 * @property {number} done  when the last piece was closed
 * @property {number} gone
 *
 * @typedef {object} Entry
 * @property {string} step
 * @property {(typeof import("./job-shape.js").ENTRY_SORTS)[number]} sort
 *   reading: measured; manual: from the person's own manual; part: a part number; note: what another window made of a step's note;
 *   check: a prompt of the step, as 'will it touch', that has been looked at: its label is the prompt
 * @property {string} label
 * @property {string} value  as typed
 * @property {string} unit   as typed, '' for none
 * @property {string} page   of the manual
 * @property {number} at
 * @property {number} gone
 *
 * @typedef {object} Round  fasteners that are tightened in several rounds, and a check round behind them
 * @property {string} step
 * @property {string} label
 * @property {string} pattern  row of the table bolt-patterns
 * @property {number} across
 * @property {number} down
 * @property {string} torque   with its unit, from the manual
 * @property {string} page
 * @property {number[]} shares  of the torque, one a round: [0.3, 0.7, 1]
 * @property {{length: string, offset: string, angle: string, setting: string} | null} adapter  as typed; setting: what the wrench is set to
 * @property {Record<string, number>} marks  'ROUND:BOLT' -> when; rounds from 0, the check round is shares.length; bolts from 1
 * @property {number} at
 * @property {number} done
 * @property {number} gone
 *
 * @typedef {{step: string, figure: string, title: string, query: string, answer: string, at: number, gone: number}} Kept
 * @typedef {{step: string, words: string, at: number, gone: number}} Photo
 *
 * @typedef {object} Field  one thing to set
 * @property {string[]} path  ['name'], ['steps', id] (a new one), ['steps', id, 'done'], ['rounds', id, 'marks', '0:3']
 * @property {any} [to]    without it a mark is taken out
 * @property {string} [base]   of a note: the text that the person began from
 * @property {string} [other]  of a note: id for an entry that takes this text where another window has changed the note
 *
 * @typedef {{path: string[], from?: any, to?: any}} PastField  without `from` there was nothing
 * @typedef {{at: number, what: string, fields: Record<string, string>, sets: PastField[], undone: number}} Past
 *   what, fields: for a sentence card_did_WHAT
 * @typedef {{what: string, fields: Record<string, string>, sets: Field[], joins?: string}} Deed
 *   joins: action that this one goes on with, so that a text typed in many saves is undone as one
 * @typedef {Deed & {id: string, at: number}} Action
 *
 * @typedef {import("./job-ends.js").Known} Known
 * @typedef {import("./job-ends.js").Block} Block
 * @typedef {{job: Job, left: PastField[], blocks: Block[]}} Turned  an action taken back or done again
 *   job: the same, by identity, where nothing could be turned; left: fields that have been changed since and stay as they are;
 *   blocks: what holds a step back that it would tick
 */

import { heldBack, NOTHING_KNOWN } from "./job-ends.js";
import { historyWith, pastField } from "./job-history.js";
import { valueAt, same, withValue } from "./job-paths.js";
import { faults, mostOf, shapeAt } from "./job-shape.js";

/**
 * A card that is not kept yet.
 * @param {{id: string, at: number, name: string, template?: string, stages?: TemplateStage[]}} given  stages: those of a template (js/jobs.LANG.js)
 * @returns {Job}
 *
 * @typedef {{title: string, steps: TemplateStep[]}} TemplateStage
 * @typedef {{id: string, do: string, needs?: {id: string}[], gate?: string}} TemplateStep
 */
export function newJob({ id, at, name, template = "", stages = [] }) {
  const staged = stages.map(({ title }, n) => [`stage-${n + 1}`, { title, place: n + 1, gone: 0 }]);
  const steps = stages.flatMap((stage, n) => stage.steps.map((step, m) => [step.id, newStep(step, `stage-${n + 1}`, m + 1)]));
  const maps = { ends: {}, entries: {}, rounds: {}, kept: {}, photos: {}, history: {} };
  return { schema: 1, id, name, template, made: at, interrupted: 0, gone: 0, stages: Object.fromEntries(staged), steps: Object.fromEntries(steps), ...maps };
}

/** A step as the template has it. @param {TemplateStep} step @param {string} stage @param {number} place @returns {Step} */
export function newStep(step, stage, place) {
  const needs = (step.needs ?? []).map(({ id }) => id);
  const gate = step.gate === "first-start" ? step.gate : "";
  return { stage, place, from: step.id, title: step.do, needs, gate, began: 0, interrupted: 0, done: 0, note: "", gone: 0 };
}

/** The card after an action: see `attempt`. @param {Job} job @param {Action} action @param {Known} [known] @returns {Job} */
export function act(job, action, known) {
  return attempt(job, action, known).job;
}

/**
 * The card after an action. The same card, by identity, when the action has been done already, changes nothing, does not fit
 * (job-shape.js), hangs on something that is not there, or would tick a step that a caution or a loose end holds back.
 * @param {Job} job
 * @param {Action} action
 * @param {Known} [known]  without it no sheet counts as confirmed
 * @returns {{job: Job, blocks: Block[]}}  blocks: what holds it back
 */
export function attempt(job, action, known = NOTHING_KNOWN) {
  const nothing = { job, blocks: [] };
  if (Object.hasOwn(job.history, action.id)) return nothing;
  /** @type {PastField[]} */
  const sets = [];
  let next = job;
  for (const field of action.sets) {
    const { path, to } = divertedNote(next, field, action.at);
    const from = valueAt(next, path);
    if (same(from, to)) continue;
    if (!fits(next, path, to)) return nothing;
    next = withValue(next, path, to);
    sets.push(pastField(path, from, to));
  }
  const blocks = heldBack(job, next, known);
  return sets.length && !blocks.length ? { job: { ...next, history: historyWith(job.history, action, sets) }, blocks } : { job, blocks };
}

// -- inside ---------------------------------------------------------------------------------------------------------

/**
 * A text written over one that the person has not seen does not go into the note: both are kept, the later one as an entry, and so
 * are the further saves of that text until the person has chosen.
 * @param {Job} job @param {Field} field @param {number} at @returns {Field}
 */
function divertedNote(job, field, at) {
  const { path, to, base, other } = field;
  if (base === undefined || other === undefined) return field;
  const entry = Object.hasOwn(job.entries, other) ? job.entries[other] : null;
  if (entry && !entry.gone) return { path: ["entries", other, "value"], to };
  const now = valueAt(job, path);
  if (now === base || now === to || entry) return field;
  return { path: ["entries", other], to: { step: path[1], sort: "note", label: "", value: to, unit: "", page: "", at, gone: 0 } };
}

/** @param {Job} job @param {string[]} path @param {any} to */
function fits(job, path, to) {
  const shape = shapeAt(path);
  if (!shape) return false;
  if (path.length === 1) return !faults(shape, to).length;
  const things = /** @type {any} */ (job)[path[0]];
  const isThere = Object.hasOwn(things, path[1]);
  if (path.length === 2) return !isThere && Object.keys(things).length < mostOf(path) && !faults(shape, to).length && hangs(job, to);
  if (!isThere) return false;
  const isMarkOut = to === undefined && path.length === 4;
  return isMarkOut || (!faults(shape, to).length && hangs(job, { [path[2]]: to }));
}

/** Whether the stage and the step that a thing names are there. @param {Job} job @param {{stage?: string, step?: string}} thing */
function hangs(job, { stage, step }) {
  return (stage === undefined || Object.hasOwn(job.stages, stage)) && (!step || Object.hasOwn(job.steps, step));
}
