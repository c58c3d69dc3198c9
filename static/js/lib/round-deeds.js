/** What a person can do to the torque rounds of a card: see job-deeds.js. Pure. */

import { setOf } from "./job-paths.js";
import { isMarked, roundsIn } from "./job-rounds.js";

/** @typedef {import("./job.js").Job} Job */
/** @typedef {import("./job.js").Deed} Deed */

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
