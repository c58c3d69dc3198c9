/**
 * What a person can do to a card. Pure: each function looks at the card and gives the deed for `act`, or null when it makes no
 * sense there (the step is gone, all pieces are closed, a round is not whole yet). Hand them to `doAct` as `(job) => tick(job, id,
 * at)`: they then see the card as the store has it, not as a window remembers it. Ids of new things and times come from outside.
 *
 * `what` and `fields` are for the sentence card_did_WHAT (content/words/card-history.md). Those about a loose end hold kind, words
 * and place; the page makes {end} of them.
 *
 * @typedef {import("./job.js").Job} Job
 * @typedef {import("./job.js").Deed} Deed
 * @typedef {import("./job.js").Field} Field
 * @typedef {"stages" | "steps" | "ends" | "entries" | "rounds" | "kept" | "photos"} MapName
 */

import { newStep } from "./job.js";
import { allSteps, stagesOf, stepsOf } from "./job-list.js";
import { isMarked, roundsIn } from "./job-rounds.js";
import { MOST_PIECES } from "./job-shape.js";

// -- the card -------------------------------------------------------------------------------------------------------

/** @param {Job} job @param {string} name @returns {Deed} */
export function rename(job, name) {
  return { what: "rename", fields: { name }, sets: [{ path: ["name"], to: name }] };
}

/** Put the card away; `restoreCard` brings it back. @param {Job} job @param {number} at @returns {Deed | null} */
export function removeCard(job, at) {
  return job.gone ? null : { what: "remove_card", fields: { name: job.name }, sets: [{ path: ["gone"], to: at }] };
}

/** @param {Job} job @returns {Deed | null} */
export function restoreCard(job) {
  return job.gone ? { what: "restore_card", fields: { name: job.name }, sets: [{ path: ["gone"], to: 0 }] } : null;
}

/**
 * Work is interrupted: so is each step that has been begun and not done. `interrupt` of job-store.js lapses the confirmations too.
 * Taken back, the confirmations stay lapsed.
 * @param {Job} job @param {number} at @returns {Deed | null}
 */
export function interruption(job, at) {
  if (job.interrupted) return null;
  const begun = allSteps(job).filter(({ began, done }) => began && !done);
  const sets = begun.map(({ id }) => ({ path: ["steps", id, "interrupted"], to: at }));
  return { what: "interrupt", fields: {}, sets: [{ path: ["interrupted"], to: at }, ...sets] };
}

/** @param {Job} job @returns {Deed | null} */
export function resume(job) {
  if (!job.interrupted) return null;
  const sets = allSteps(job).filter(({ interrupted }) => interrupted).map(({ id }) => ({ path: ["steps", id, "interrupted"], to: 0 }));
  return { what: "resume", fields: {}, sets: [{ path: ["interrupted"], to: 0 }, ...sets] };
}

// -- steps and stages -----------------------------------------------------------------------------------------------

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

// -- loose ends -----------------------------------------------------------------------------------------------------

/**
 * @param {Job} job @param {string} id
 * @param {{step?: string, kind: import("./job.js").EndKind, words?: string, place?: string, count?: number, size?: string, bag?: string}} given
 * @param {number} at @returns {Deed}
 */
export function openEnd(job, id, { step = "", kind, words = "", place = "", count = 1, size = "", bag = "" }, at) {
  const to = { step, kind, words, place, count, closed: 0, size, bag, at, done: 0, gone: 0 };
  return { what: "end_open", fields: { kind, words, place }, sets: [{ path: ["ends", id], to }] };
}

/** Close some pieces of a loose end; the last one closes it. @param {Job} job @param {string} id @param {number} at @param {number} [by] @returns {Deed | null} */
export function closeEnd(job, id, at, by = 1) {
  const end = job.ends[id];
  if (!end || end.gone || end.done || by < 1) return null;
  const closed = Math.min(end.count, end.closed + by);
  const isAll = closed === end.count;
  const fields = { ...endFields(end), number: String(closed), of: String(end.count) };
  return { what: isAll ? "end_close" : "end_close_some", fields, sets: [setOf("ends", id, "closed", closed), ...(isAll ? [setOf("ends", id, "done", at)] : [])] };
}

/** Open again, all of it. @param {Job} job @param {string} id @returns {Deed | null} */
export function reopenEnd(job, id) {
  const end = job.ends[id];
  return end && (end.done || end.closed) ? { what: "end_reopen", fields: endFields(end), sets: [setOf("ends", id, "closed", 0), setOf("ends", id, "done", 0)] } : null;
}

/**
 * Another place, count, size, bag or wording. A count below what has been closed already makes no sense: null.
 * @param {Job} job @param {string} id @param {{words?: string, place?: string, count?: number, size?: string, bag?: string}} part @param {number} at @returns {Deed | null}
 */
export function changeEnd(job, id, part, at) {
  const end = job.ends[id];
  const count = part.count ?? end?.count;
  if (!end || count < Math.max(1, end.closed) || count > MOST_PIECES) return null;
  const sets = Object.entries(part).map(([name, to]) => setOf("ends", id, name, to));
  const done = end.closed === count ? end.done || at : 0;
  return { what: "end_change", fields: endFields({ ...end, ...part }), sets: [...sets, setOf("ends", id, "done", done)] };
}

// -- what is noted --------------------------------------------------------------------------------------------------

/**
 * A reading, a value from the manual or a part number.
 * @param {Job} job @param {string} id
 * @param {{step?: string, sort: "reading" | "manual" | "part", label: string, value: string, unit?: string, page?: string}} given  value, unit: as typed
 * @param {number} at @returns {Deed}
 */
export function addEntry(job, id, { step = "", sort, label, value, unit = "", page = "" }, at) {
  return { what: "entry_add", fields: { label, value, unit }, sets: [{ path: ["entries", id], to: { step, sort, label, value, unit, page, at, gone: 0 } }] };
}

/** @param {Job} job @param {string} id @param {{label?: string, value?: string, unit?: string, page?: string}} part @param {string} [joins] @returns {Deed | null} */
export function changeEntry(job, id, part, joins) {
  const entry = job.entries[id];
  if (!entry) return null;
  const { label, value, unit } = { ...entry, ...part };
  return { what: "entry_change", fields: { label, value, unit }, sets: Object.entries(part).map(([name, to]) => setOf("entries", id, name, to)), joins };
}

/** A prompt of a step has been looked at: tick it off. `remove` takes the tick out. @param {Job} job @param {string} id @param {{step: string, label: string}} given @param {number} at @returns {Deed | null} */
export function lookAt(job, id, { step, label }, at) {
  const isDone = Object.values(job.entries).some((one) => one.sort === "check" && !one.gone && one.step === step && one.label === label);
  return isDone ? null : { what: "look", fields: { label }, sets: [{ path: ["entries", id], to: { step, sort: "check", label, value: "", unit: "", page: "", at, gone: 0 } }] };
}

/** An answer of a Figure, with the query that brings it back. @param {Job} job @param {string} id @param {{step?: string, figure: string, title: string, query: string, answer: string}} given @param {number} at @returns {Deed} */
export function keepAnswer(job, id, { step = "", figure, title, query, answer }, at) {
  return { what: "keep", fields: { title, answer }, sets: [{ path: ["kept", id], to: { step, figure, title, query, answer, at, gone: 0 } }] };
}

/** `addPhoto` of photos.js brings the picture along. @param {Job} job @param {string} id @param {{step?: string, words?: string}} given @param {number} at @returns {Deed} */
export function notePhoto(job, id, { step = "", words = "" }, at) {
  return { what: "photo_add", fields: { words }, sets: [{ path: ["photos", id], to: { step, words, at, gone: 0 } }] };
}

/** @param {Job} job @param {string} id @param {string} words @param {string} [joins] @returns {Deed | null} */
export function describePhoto(job, id, words, joins) {
  return job.photos[id] ? { what: "photo_words", fields: { words }, sets: [setOf("photos", id, "words", words)], joins } : null;
}

// -- torque rounds --------------------------------------------------------------------------------------------------

/**
 * @param {Job} job @param {string} id
 * @param {{step?: string, label: string, pattern: string, across: number, down: number, torque: string, page?: string, shares: number[], adapter?: import("./job.js").Round["adapter"]}} given
 * @param {number} at @returns {Deed}
 */
export function addRound(job, id, { step = "", page = "", adapter = null, ...given }, at) {
  const to = { step, page, adapter, ...given, marks: {}, at, done: 0, gone: 0 };
  return { what: "round_add", fields: { label: given.label }, sets: [{ path: ["rounds", id], to }] };
}

/** Torque, page or adapter of a round. @param {Job} job @param {string} id @param {{label?: string, torque?: string, page?: string, adapter?: import("./job.js").Round["adapter"]}} part @returns {Deed | null} */
export function changeRound(job, id, part) {
  const round = job.rounds[id];
  return round ? { what: "round_change", fields: { label: part.label ?? round.label }, sets: Object.entries(part).map(([name, to]) => setOf("rounds", id, name, to)) } : null;
}

/**
 * Mark a bolt. Not in a round whose earlier ones are not whole, and not twice. The last mark of the check round makes it done.
 * @param {Job} job @param {string} id @param {number} n  round, from 0 @param {number} bolt @param {number} at @param {number} count  bolts in all @returns {Deed | null}
 */
export function markBolt(job, id, n, bolt, at, count) {
  const round = job.rounds[id];
  if (!round || n >= roundsIn(round) || bolt < 1 || bolt > count || isMarked(round, n, bolt)) return null;
  const earlier = Array.from({ length: n * count }, (_, k) => isMarked(round, Math.floor(k / count), (k % count) + 1));
  if (!earlier.every(Boolean)) return null;
  const here = Array.from({ length: count }, (_, k) => isMarked(round, n, k + 1)).filter(Boolean).length;
  const isLast = n === roundsIn(round) - 1 && here === count - 1;
  const sets = [{ path: ["rounds", id, "marks", `${n}:${bolt}`], to: at }, ...(isLast ? [setOf("rounds", id, "done", at)] : [])];
  return { what: "round_mark", fields: { label: round.label, bolt: String(bolt), round: String(n + 1) }, sets };
}

/** Make a round and those behind it again, as when a bolt moved in the check round. @param {Job} job @param {string} id @param {number} n @returns {Deed | null} */
export function repeatRounds(job, id, n) {
  const round = job.rounds[id];
  const marks = round ? Object.keys(round.marks).filter((key) => Number(key.split(":")[0]) >= n) : [];
  if (!marks.length) return null;
  const sets = marks.map((key) => ({ path: ["rounds", id, "marks", key] }));
  return { what: "round_repeat", fields: { label: round.label, round: String(n + 1) }, sets: [...sets, setOf("rounds", id, "done", 0)] };
}

// -- deleting -------------------------------------------------------------------------------------------------------

/** Delete a thing; a stage goes with its steps. What hangs on a step stays on the card, its loose ends open. @param {Job} job @param {MapName} name @param {string} id @param {number} at @returns {Deed | null} */
export function remove(job, name, id, at) {
  const thing = job[name][id];
  if (!thing || thing.gone) return null;
  const steps = name === "stages" ? stepsOf(job, id).map((step) => setOf("steps", step.id, "gone", at)) : [];
  return { what: "remove", fields: { thing: titleOf(job, name, id) }, sets: [setOf(name, id, "gone", at), ...steps] };
}

/** @param {Job} job @param {MapName} name @param {string} id @returns {Deed | null} */
export function restore(job, name, id) {
  const thing = job[name][id];
  return thing?.gone ? { what: "restore", fields: { thing: titleOf(job, name, id) }, sets: [setOf(name, id, "gone", 0)] } : null;
}

// -- inside ---------------------------------------------------------------------------------------------------------

/** @param {string} name @param {string} id @param {string} field @param {any} to @returns {Field} */
function setOf(name, id, field, to) {
  return { path: [name, id, field], to };
}

/** What a person calls a thing, '' for what has no words of its own. @param {Job} job @param {MapName} name @param {string} id */
function titleOf(job, name, id) {
  const { title, label, words, place } = /** @type {Record<string, string>} */ (/** @type {unknown} */ (job[name][id]));
  return title ?? label ?? (words || place || "");
}

/** @param {import("./job.js").End} end */
function endFields({ kind, words, place }) {
  return { kind, words, place };
}

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
