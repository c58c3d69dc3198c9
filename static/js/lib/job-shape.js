/**
 * What a job card is made of, told once: the model refuses what does not fit, the check of an imported file says what does not,
 * and the page about the file is tested against it. No DOM, no store.
 *
 * A shape is plain data; `faults` walks a value along it. What a person can enter always fits (`act` in job.js sees to it), so
 * what is exported can be read back.
 *
 * @typedef {{is: "text", most: number}} TextShape
 * @typedef {{is: "number", from: number, to: number, whole?: boolean}} NumberShape
 * @typedef {{is: "id", empty?: boolean, inner?: boolean}} IdShape  empty: may be ''; inner: must hold a hyphen
 * @typedef {{is: "mark"}} MarkShape  'ROUND:BOLT'
 * @typedef {{is: "one", of: readonly (string | number)[]}} OneShape
 * @typedef {{is: "list", of: Shape, most: number}} ListShape
 * @typedef {{is: "map", key: IdShape | MarkShape, of: Shape, most: number}} MapShape
 * @typedef {{is: "object", of: Record<string, Shape>, optional?: readonly string[], empty?: boolean}} ObjectShape  empty: may be null
 * @typedef {{is: "any"}} AnyShape  looked at elsewhere
 * @typedef {TextShape | NumberShape | IdShape | MarkShape | OneShape | ListShape | MapShape | ObjectShape | AnyShape} Shape
 * @typedef {{where: (string | number)[], what: string, fields: Record<string, string | number>}} Fault
 *   where: the way to the value, lists counted from 0; what: last part of a words key card_file_…
 */

export const END_KINDS = /** @type {const} */ ([
  "rag", "capped", "clamped", "unplugged", "finger_tight", "drained", "dry_fitted", "temporary_tie", "bagged", "guard_off", "tool", "own",
]);
export const ENTRY_SORTS = /** @type {const} */ (["reading", "manual", "part", "note", "check"]);
export const GATES = /** @type {const} */ (["", "first-start"]);
export const MOST_PIECES = 999;
export const HISTORY = 200;

const ID = /^[a-z0-9][a-z0-9_-]{0,79}$/;
const MARK = /^\d{1,2}:\d{1,3}$/;
const LATEST_MS = 8.64e15; // the last moment that Date knows

/** @type {(most: number) => TextShape} */
export const text = (most) => ({ is: "text", most });
/** @type {(of: Record<string, Shape>, optional?: readonly string[]) => ObjectShape} */
export const object = (of, optional = []) => ({ is: "object", of, optional });
/** @type {(of: Shape, most: number, key?: IdShape | MarkShape) => MapShape} */
export const map = (of, most, key = { is: "id" }) => ({ is: "map", key, of, most });
/** @type {(from: number, to: number) => NumberShape} */
export const whole = (from, to) => ({ is: "number", from, to, whole: true });

export const TIME = whole(0, LATEST_MS);
export const SHORT = text(500);
export const LONG = text(100000);
/** @type {IdShape} */
export const id = { is: "id" };
/** @type {IdShape} */
const idOrNone = { is: "id", empty: true };
/** @type {NumberShape} */
const place = { is: "number", from: -1e6, to: 1e6 };
/** @type {NumberShape} */
const share = { is: "number", from: 0, to: 2 };

export const JOB = object({
  schema: { is: "one", of: [1] },
  id,
  name: SHORT,
  template: idOrNone,
  made: TIME,
  interrupted: TIME,
  gone: TIME,
  stages: map(object({ title: SHORT, place, gone: TIME }), 200),
  steps: map(object({
    stage: id, place, from: idOrNone, title: text(2000), needs: { is: "list", of: id, most: 20 }, gate: { is: "one", of: GATES },
    began: TIME, interrupted: TIME, done: TIME, note: LONG, gone: TIME,
  }), 2000),
  ends: map(object({
    step: idOrNone, kind: { is: "one", of: END_KINDS }, words: SHORT, place: SHORT, count: whole(1, MOST_PIECES), closed: whole(0, MOST_PIECES),
    size: SHORT, bag: SHORT, at: TIME, done: TIME, gone: TIME,
  }), 2000),
  entries: map(object({
    step: idOrNone, sort: { is: "one", of: ENTRY_SORTS }, label: SHORT, value: LONG, unit: text(40), page: text(200), at: TIME, gone: TIME,
  }), 5000),
  rounds: map(object({
    step: idOrNone, label: SHORT, pattern: id, across: whole(1, 64), down: whole(1, 64), torque: text(200), page: text(200),
    shares: { is: "list", of: share, most: 9 },
    adapter: { is: "object", of: { length: text(200), offset: text(200), angle: text(200), setting: text(200) }, empty: true },
    marks: map(TIME, 2100, { is: "mark" }), at: TIME, done: TIME, gone: TIME,
  }), 500),
  kept: map(object({ step: idOrNone, figure: id, title: SHORT, query: text(10000), answer: text(2000), at: TIME, gone: TIME }), 2000),
  photos: map(object({ step: idOrNone, words: text(2000), at: TIME, gone: TIME }), 2000),
  history: map(object({
    at: TIME, what: id, fields: map(LONG, 20),
    sets: { is: "list", of: object({ path: { is: "list", of: text(80), most: 4 }, from: { is: "any" }, to: { is: "any" } }, ["from", "to"]), most: 5000 },
    undone: TIME,
  }), HISTORY, { is: "id", inner: true }),
});

/** The fields of a card that an action may set; the others are settled when it is made. */
const SETTABLE = ["name", "interrupted", "gone", "stages", "steps", "ends", "entries", "rounds", "kept", "photos"];

/**
 * What does not fit, each told once; nothing when all fits.
 * @param {Shape} shape
 * @param {unknown} value
 * @param {(string | number)[]} [where]  the way to the value so far
 * @returns {Fault[]}
 */
export function faults(shape, value, where = []) {
  const told = (/** @type {string} */ what, fields = {}) => [{ where, what, fields }];
  switch (shape.is) {
    case "any": return [];
    case "text": return typeof value !== "string" ? told("text") : value.length > shape.most ? told("long", { most: shape.most }) : [];
    case "number": return numberFaults(shape, value, told);
    case "id": return typeof value !== "string" ? told("text") : isId(shape, value) ? [] : told("id");
    case "mark": return typeof value === "string" && MARK.test(value) ? [] : told("mark");
    case "one": return shape.of.some((one) => one === value) ? [] : told("one", { options: shape.of.map((one) => JSON.stringify(one)).join(", ") });
    case "list": return listFaults(shape, value, where, told);
    case "map": return mapFaults(shape, value, where, told);
    case "object": return objectFaults(shape, value, where, told);
  }
}

/** A copy that holds what the shape names and nothing else, in the order in which it stands. @param {Shape} shape @param {any} value @returns {any} */
export function picked(shape, value) {
  if (value === null || typeof value !== "object") return value;
  if (shape.is === "list" && Array.isArray(value)) return value.map((one) => picked(shape.of, one));
  if (shape.is === "map") return Object.fromEntries(Object.entries(value).map(([key, one]) => [key, picked(shape.of, one)]));
  if (shape.is !== "object") return value;
  return Object.fromEntries(Object.keys(value).filter((name) => Object.hasOwn(shape.of, name)).map((name) => [name, picked(shape.of[name], value[name])]));
}

/**
 * The shape of what stands at a path of a card, or null where an action may set nothing.
 * @param {readonly string[]} path  ['name'], ['steps', id], ['steps', id, 'done'] or ['rounds', id, 'marks', '0:3']
 * @returns {Shape | null}
 */
export function shapeAt(path) {
  if (!SETTABLE.includes(path[0])) return null;
  /** @type {Shape | null} */
  let shape = JOB;
  for (const key of path) shape = shape && inside(shape, key);
  return shape && isWay(path) ? shape : null;
}

/** Most that the map at the start of a path may hold. @param {readonly string[]} path @returns {number} */
export function mostOf([name]) {
  const shape = JOB.of[name];
  return shape.is === "map" ? shape.most : 1;
}

/** @param {IdShape} shape @param {string} value */
function isId(shape, value) {
  if (value === "") return shape.empty === true;
  // A name such as 'constructor' is found in every object.
  return ID.test(value) && !(value in Object.prototype) && (!shape.inner || value.includes("-"));
}

/** @param {Shape} shape @param {string} key @returns {Shape | null} */
function inside(shape, key) {
  if (shape.is === "object") return Object.hasOwn(shape.of, key) ? shape.of[key] : null;
  return shape.is === "map" && !faults(shape.key, key).length ? shape.of : null;
}

/** A card's field, a whole thing, a field of it, or a mark: not a whole map. @param {readonly string[]} path */
function isWay(path) {
  const isField = JOB.of[path[0]].is !== "map";
  return isField ? path.length === 1 : path.length === 2 || (path.length === 3 && path[2] !== "marks") || (path.length === 4 && path[2] === "marks");
}

/** @typedef {(what: string, fields?: Record<string, string | number>) => Fault[]} Tell */

/** @param {NumberShape} shape @param {unknown} value @param {Tell} told */
function numberFaults({ from, to, whole: isWhole }, value, told) {
  if (typeof value !== "number" || !Number.isFinite(value)) return told("number");
  if (value < from || value > to) return told("range", { low: from, high: to });
  return isWhole && !Number.isInteger(value) ? told("whole") : [];
}

/** @param {ListShape} shape @param {unknown} value @param {(string | number)[]} where @param {Tell} told @returns {Fault[]} */
function listFaults(shape, value, where, told) {
  if (!Array.isArray(value)) return told("list");
  if (value.length > shape.most) return told("many", { most: shape.most });
  return value.flatMap((one, n) => faults(shape.of, one, [...where, n]));
}

/** @param {MapShape} shape @param {unknown} value @param {(string | number)[]} where @param {Tell} told @returns {Fault[]} */
function mapFaults(shape, value, where, told) {
  if (!isObject(value)) return told("object");
  const entries = Object.entries(value);
  if (entries.length > shape.most) return told("many", { most: shape.most });
  return entries.flatMap(([key, one]) => {
    const wrong = faults(shape.key, key, [...where, key]);
    return wrong.length ? wrong.map((fault) => ({ ...fault, what: shape.key.is === "mark" ? "mark" : "key" })) : faults(shape.of, one, [...where, key]);
  });
}

/** @param {ObjectShape} shape @param {unknown} value @param {(string | number)[]} where @param {Tell} told @returns {Fault[]} */
function objectFaults({ of, optional = [], empty }, value, where, told) {
  if (empty && value === null) return [];
  if (!isObject(value)) return told("object");
  const missing = Object.keys(of).filter((name) => !Object.hasOwn(value, name) && !optional.includes(name));
  const unknown = Object.keys(value).filter((name) => !Object.hasOwn(of, name));
  const known = Object.keys(of).filter((name) => Object.hasOwn(value, name));
  return [
    ...missing.flatMap((name) => told("missing", { name })),
    ...unknown.flatMap((name) => told("unknown", { name: name.slice(0, 80) })),
    ...known.flatMap((name) => faults(of[name], value[name], [...where, name])),
  ];
}

/** @param {unknown} value @returns {value is Record<string, unknown>} */
function isObject(value) {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
