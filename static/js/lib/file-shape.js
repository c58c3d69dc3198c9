/**
 * The file that carries cards from phone to phone: what it is made of, and whether a text is one. Pure; content/help/export-file.md
 * describes it for a reader. A later schema is one more step in OLDER, and a file of each released one stays among the tests.
 *
 * @typedef {import("./job.js").Job} Job
 * @typedef {import("./setup.js").Setup} Setup
 * @typedef {import("./json-text.js").Problem} Problem
 * @typedef {{id: string, job: string, type: string, width: number, height: number, at: number, data: string}} FilePhoto  data: base64
 * @typedef {{job?: {id: string}, setup?: string, emergency?: {number: string}}} FileKept
 * @typedef {{format: "cowlside", schema: number, made: number, jobs: Job[], setups: Setup[], kept: FileKept, photos: FilePhoto[]}} CardFile
 * @typedef {{where: (string | number)[], what: string, fields: Record<string, string | number>}} Fault
 */

import { valueAt } from "./job-paths.js";
import { faults, id, JOB, LONG, map, object, shapeAt, text, TIME, whole } from "./job-shape.js";
import { readJson } from "./json-text.js";

export const FORMAT = "cowlside";
/** What makes a file of schema n one of schema n + 1. A step that has been released is never changed. @type {((data: any) => any)[]} */
export const OLDER = [];
export const SCHEMA = OLDER.length + 1;
export const MOST_BYTES = 128 * 1024 * 1024;
export const MOST_TOLD = 20;
/** First bytes of the pictures that a phone shows: JPEG, PNG. Nothing that can hold a script. @type {Record<string, number[]>} */
export const PICTURES = { "image/jpeg": [0xff, 0xd8, 0xff], "image/png": [0x89, 0x50, 0x4e, 0x47] };

const BASE64 = /^(?:[A-Za-z0-9+/]{4})*(?:[A-Za-z0-9+/]{2}==|[A-Za-z0-9+/]{3}=)?$/;

export const SETUP = object({ id, name: LONG, made: TIME, values: map(LONG, 500) });
export const KEPT = object({ job: object({ id }), setup: id, emergency: object({ number: text(100) }) }, ["job", "setup", "emergency"]);
export const PHOTO = object({
  id, job: id, type: { is: "one", of: Object.keys(PICTURES) }, width: whole(1, 100000), height: whole(1, 100000), at: TIME, data: text(MOST_BYTES),
});
export const FILE = object({
  format: { is: "one", of: [FORMAT] },
  schema: whole(1, SCHEMA),
  made: TIME,
  jobs: { is: "list", of: JOB, most: 1000 },
  setups: { is: "list", of: SETUP, most: 1000 },
  kept: KEPT,
  photos: { is: "list", of: PHOTO, most: 10000 },
});

/**
 * Whether a text is a whole and right file. Nothing is kept or changed here.
 * @param {string} source
 * @returns {{ok: true, data: CardFile, pictures: Map<string, Uint8Array>} | {ok: false, problems: Problem[]}}
 *   problems: at most 20, and how many more there are
 */
export function check(source) {
  const plain = source.replace(/^\ufeff/, "");
  if (plain.trim() === "") return refused({ key: "card_file_empty", fields: {} });
  const read = readJson(plain);
  if ("problem" in read) return refused(read.problem);
  const foreign = foreignness(read.value);
  if (foreign) return refused(foreign);
  const data = OLDER.slice(read.value.schema - 1).reduce((older, step) => step(older), read.value);
  const wrong = faults(FILE, data);
  const found = wrong.length ? wrong : [...linkFaults(data), ...data.jobs.flatMap(jobFaults)];
  const { pictures, faults: unreadable } = found.length ? { pictures: new Map(), faults: [] } : picturesOf(data.photos);
  const all = [...found, ...unreadable].map(told);
  return all.length ? refused(...all) : { ok: true, data, pictures };
}

/** @param {...Problem} problems @returns {{ok: false, problems: Problem[]}} */
function refused(...problems) {
  const more = problems.length - MOST_TOLD;
  return { ok: false, problems: more > 0 ? [...problems.slice(0, MOST_TOLD), { key: "card_file_more", fields: { number: more } }] : problems };
}

/** @param {any} value @returns {Problem | null} */
function foreignness(value) {
  const isOurs = value !== null && typeof value === "object" && !Array.isArray(value) && value.format === FORMAT;
  if (!isOurs) return { key: "card_file_foreign", fields: { format: FORMAT } };
  const { schema } = value;
  if (!Number.isInteger(schema) || schema < 1) return { key: "card_file_schema", fields: { most: SCHEMA } };
  return schema > SCHEMA ? { key: "card_file_newer", fields: { schema, most: SCHEMA } } : null;
}

/** A fault with its place as a JSON Pointer (RFC 6901). @param {Fault} fault @returns {Problem} */
function told({ where, what, fields }) {
  const pointer = where.map((key) => `/${String(key).slice(0, 80).replace(/~/g, "~0").replace(/\//g, "~1")}`).join("");
  return { key: `card_file_${what}`, fields: { where: pointer || "/", ...fields } };
}

/** What is named but is not there, and what is there twice. @param {CardFile} data @returns {Fault[]} */
function linkFaults({ jobs, setups, photos, kept }) {
  const missing = (/** @type {(string | number)[]} */ where, /** @type {string} */ name) => [{ where, what: "link", fields: { name } }];
  const jobOf = new Map(jobs.map((job) => [job.id, job]));
  const isSetup = setups.some((one) => one.id === kept.setup);
  return [
    ...twice("jobs", jobs), ...twice("setups", setups), ...twice("photos", photos),
    ...photos.flatMap(({ id: photo, job }, n) => {
      if (!jobOf.has(job)) return missing(["photos", n, "job"], job);
      return Object.hasOwn(/** @type {Job} */ (jobOf.get(job)).photos, photo) ? [] : missing(["photos", n, "id"], photo);
    }),
    ...(kept.job && !jobOf.has(kept.job.id) ? missing(["kept", "job", "id"], kept.job.id) : []),
    ...(kept.setup !== undefined && !isSetup ? missing(["kept", "setup"], kept.setup) : []),
  ];
}

/** @param {string} name @param {{id: string}[]} list @returns {Fault[]} */
function twice(name, list) {
  const seen = new Set();
  return list.flatMap((one, n) => (seen.size === seen.add(one.id).size ? [{ where: [name, n, "id"], what: "same_id", fields: { name: one.id } }] : []));
}

/** What a card's own shape does not say: what hangs on what, and what its history may put back. @param {Job} job @param {number} n @returns {Fault[]} */
function jobFaults(job, n) {
  const at = (/** @type {(string | number)[]} */ ...where) => ["jobs", n, ...where];
  const lost = Object.entries(job.steps).filter(([, { stage }]) => !Object.hasOwn(job.stages, stage));
  const hanging = /** @type {const} */ (["ends", "entries", "rounds", "kept", "photos"]).flatMap((name) => (
    Object.entries(job[name]).filter(([, { step }]) => step && !Object.hasOwn(job.steps, step)).map(([key, { step }]) => ({ where: at(name, key, "step"), name: step }))));
  const links = [...lost.map(([key, { stage }]) => ({ where: at("steps", key, "stage"), name: stage })), ...hanging];
  const over = Object.entries(job.ends).filter(([, { count, closed }]) => closed > count);
  return [
    ...links.map(({ where, name }) => ({ where, what: "link", fields: { name } })),
    ...over.map(([key, { count, closed }]) => ({ where: at("ends", key, "closed"), what: "pieces", fields: { closed, count } })),
    ...Object.entries(job.history).flatMap(([key, { sets }]) => sets.flatMap((set, m) => pastFaults(job, set, at("history", key, "sets", m)))),
  ];
}

/** @param {Job} job @param {import("./job.js").PastField} set @param {(string | number)[]} where @returns {Fault[]} */
function pastFaults(job, { path, from, to }, where) {
  const shape = path.length ? shapeAt(path) : null;
  if (!shape || (path.length > 1 && valueAt(job, path.slice(0, 2)) === undefined)) return [{ where: [...where, "path"], what: "past", fields: {} }];
  const isWhole = path.length === 2;
  const wrong = [
    ...(from === undefined ? [] : isWhole ? [{ where: [...where, "from"], what: "unknown", fields: { name: "from" } }] : faults(shape, from, [...where, "from"])),
    ...(to === undefined ? [] : faults(shape, to, [...where, "to"])),
  ];
  const isPlain = path.length === 1 || path.length === 3;
  const lacks = (isPlain && from === undefined) || (path.length < 4 && to === undefined);
  return lacks ? [...wrong, { where, what: "missing", fields: { name: to === undefined ? "to" : "from" } }] : wrong;
}

/** @param {FilePhoto[]} photos @returns {{pictures: Map<string, Uint8Array>, faults: Fault[]}} */
function picturesOf(photos) {
  const pictures = new Map();
  /** @type {Fault[]} */
  const wrong = [];
  photos.forEach(({ id: photo, type, data }, n) => {
    const bytes = bytesOf(data);
    const isPicture = bytes && PICTURES[type].every((byte, m) => bytes[m] === byte);
    if (isPicture) pictures.set(photo, bytes);
    else wrong.push({ where: ["photos", n, "data"], what: bytes ? "picture" : "base64", fields: { type } });
  });
  return { pictures, faults: wrong };
}

/** Bytes of a base64 text (RFC 4648, section 4), or null where it is none. @param {string} data @returns {Uint8Array | null} */
export function bytesOf(data) {
  // Looked at in pieces: a picture is longer than some browsers' expressions can walk at once.
  for (let at = 0; at < data.length; at += 4096) {
    const isLast = at + 4096 >= data.length;
    const part = data.slice(at, at + 4096);
    if (!BASE64.test(part) || (!isLast && part.includes("="))) return null;
  }
  return Uint8Array.from(atob(data), (one) => one.charCodeAt(0));
}

/** @param {Uint8Array} bytes @returns {string} base64 */
export function base64Of(bytes) {
  const parts = [];
  // A multiple of three, so that the pieces can stand one behind the other.
  for (let at = 0; at < bytes.length; at += 0x6000) parts.push(btoa(String.fromCharCode(...bytes.subarray(at, at + 0x6000))));
  return parts.join("");
}
