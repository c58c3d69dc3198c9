/**
 * What was typed on a card in a page's last moment. The browser ends a page before its database has answered, but takes a word into
 * localStorage at once: the next page of a card writes it down. Written twice it changes nothing.
 *
 * @typedef {{step: string, text: string, base: string, other: string}} JottedNote  as for `writeNote`
 * @typedef {{step: string, entry: string, sort: "reading" | "manual" | "part", label: string, value: string, unit: string, page: string}} JottedEntry  entry: its id, a new one too
 * @typedef {JottedNote | JottedEntry} Jotted
 */

import { addEntry, changeEntry, remove } from "./job-deeds.js";
import { writeNote } from "./step-deeds.js";
import { doAct } from "./job-store.js";

const JOTTED = "cowlside-card-jotted";

/** @param {string} job @param {Jotted[]} typed */
export function jot(job, typed) {
  try {
    localStorage.setItem(JOTTED, JSON.stringify({ job, typed }));
  } catch {
    // No room or not allowed: what was typed in the last moment is lost.
  }
}

/** It is on the phone after all. */
export function unjot() {
  try {
    localStorage.removeItem(JOTTED);
  } catch {
    // Nothing was noted there either.
  }
}

/** Writes what an earlier page has noted. */
export async function adoptJotted() {
  const noted = jotted();
  unjot();
  for (const one of noted?.typed ?? []) await doAct(noted.job, (job) => deedOf(job, one));
}

function jotted() {
  try {
    const noted = JSON.parse(localStorage.getItem(JOTTED) ?? "null");
    return typeof noted?.job === "string" && Array.isArray(noted.typed) ? noted : null;
  } catch {
    return null;
  }
}

/** @param {import("./job.js").Job} job @param {Jotted} one @returns {import("./job.js").Deed | null} */
function deedOf(job, one) {
  if ("text" in one) return writeNote(job, one.step, one.text, one);
  const { entry, ...given } = one;
  const isNothing = !given.value && !given.page;
  const now = Date.now();
  if (!job.entries[entry]) return isNothing ? null : addEntry(job, entry, given, now);
  const { value, unit, page } = given;
  return isNothing ? remove(job, "entries", entry, now) : changeEntry(job, entry, { value, unit, page });
}
