/**
 * Torque rounds read: whose turn it is. Pure. The order of the bolts comes from the Figure 'tightening-order' and is handed in; the
 * last round checks each bolt in turn, at the full torque.
 *
 * @typedef {import("./job.js").Round} Round
 * @typedef {{round: number, bolt: number, share: number, isCheck: boolean, nth: number, of: number}} Turn
 *   share: of the full torque; nth: which one of the round it is, from 1
 */

/** Rounds in all, the check round among them. @param {Round} round */
export function roundsIn({ shares }) {
  return shares.length + 1;
}

/**
 * Bolts in the order of one round.
 * @param {Round} round
 * @param {number} n  the round, from 0
 * @param {number[]} order  from the Figure: numbers of the bolts, from 1
 * @returns {number[]}
 */
export function orderIn(round, n, order) {
  return n < round.shares.length ? order : inTurn(round, order.length);
}

/** The bolt that is next, after an interruption too; null when all is done. @param {Round} round @param {number[]} order @returns {Turn | null} */
export function nextBolt(round, order) {
  for (let n = 0; n < roundsIn(round); n += 1) {
    const left = orderIn(round, n, order).filter((bolt) => !isMarked(round, n, bolt));
    if (!left.length) continue;
    const isCheck = n === round.shares.length;
    return { round: n, bolt: left[0], share: isCheck ? 1 : round.shares[n], isCheck, nth: order.length - left.length + 1, of: order.length };
  }
  return null;
}

/** @param {Round} round @param {number} n @param {number} bolt */
export function isMarked(round, n, bolt) {
  return Object.hasOwn(round.marks, `${n}:${bolt}`);
}

/** Marks of a round, the first made first. @param {Round} round @param {number} n @returns {{bolt: number, at: number}[]} */
export function marksOf(round, n) {
  const marks = Object.entries(round.marks).filter(([key]) => key.startsWith(`${n}:`));
  return marks.map(([key, at]) => ({ bolt: Number(key.split(":")[1]), at })).sort((one, other) => one.at - other.at);
}

/** Each bolt beside the last: rows are walked there and back, a circle and a frame are numbered round. @param {Round} round @param {number} count */
function inTurn({ pattern, across }, count) {
  const bolts = Array.from({ length: count }, (_, n) => n + 1);
  if (pattern !== "rows") return bolts;
  const rows = Array.from({ length: Math.ceil(count / across) }, (_, n) => bolts.slice(n * across, (n + 1) * across));
  return rows.flatMap((row, n) => (n % 2 ? row.reverse() : row));
}
