/**
 * Setups: what a person has entered once of their car, by names; one of them is in use. No DOM.
 * A value is kept as it was typed, with its unit: '3.4 L', or the row of a table. What has not been entered is not there.
 *
 * @typedef {{id: string, name: string, made: number, values: Record<string, string>}} Setup  made: ms since 1970
 * @typedef {import("./store.js").Outcome} Outcome
 */

import { read, readAll, SETUP_IN_USE, write } from "./store.js";

const SETUPS = "setups";
const JOTTED = "cowlside-setup-jotted";
const HINT = "cowlside-setup"; // the same as in theme.js

/** @returns {Promise<Setup | null>} */
export async function setupInUse() {
  await adoptJotted();
  const id = await read(SETUP_IN_USE.store, SETUP_IN_USE.key);
  const setup = id ? ((await read(SETUPS, id)) ?? null) : null;
  hint(setup);
  return setup;
}

/** All setups, the oldest first, and which is in use. @returns {Promise<{setups: Setup[], inUse: Setup | null}>} */
export async function allSetups() {
  const inUse = await setupInUse();
  const all = await readAll(SETUPS);
  const setups = [...all.values()].sort((one, other) => one.made - other.made || (one.id < other.id ? -1 : 1));
  return { setups, inUse: setups.find(({ id }) => id === inUse?.id) ?? null };
}

/** A setup that is not kept yet. @param {string} name @param {Record<string, string>} [values] @returns {Setup} */
export function newSetup(name, values = {}) {
  const made = Date.now();
  return { id: `${made.toString(36)}-${Math.random().toString(36).slice(2, 10)}`, name, made, values };
}

/** Keep a setup as it is and use it. @param {Setup} setup @returns {Promise<Outcome>} */
export function addSetup(setup) {
  return write([{ store: SETUPS, key: setup.id, change: () => setup }, { ...SETUP_IN_USE, change: () => setup.id }]);
}

/** @param {string} id  '' for none @returns {Promise<Outcome>} */
export function useSetup(id) {
  return write([{ ...SETUP_IN_USE, change: () => id || undefined }]);
}

/** Remove a setup; one that was in use is then in use no longer, and none is. @param {Setup} setup @returns {Promise<Outcome>} */
export function removeSetup(setup) {
  const change = (/** @type {any} */ id) => (id === setup.id ? undefined : id);
  return write([{ store: SETUPS, key: setup.id, change: () => undefined }, { ...SETUP_IN_USE, change }]);
}

/**
 * Change some of a setup and nothing else of it. One that another window has deleted meanwhile comes back as it is known here.
 * @param {Setup} setup
 * @param {{name?: string, values?: Record<string, string>}} part  values: an empty text takes a field out
 * @returns {Promise<Outcome>}
 */
export function changeSetup(setup, part) {
  return write([{ store: SETUPS, key: setup.id, change: (old) => changed(old ?? setup, part) }]);
}

/** The setup with a part changed. @param {Setup} setup @param {{name?: string, values?: Record<string, string>}} part @returns {Setup} */
export function changed(setup, { name, values = {} }) {
  const all = Object.entries({ ...setup.values, ...values }).filter(([, text]) => text.trim() !== "");
  return { ...setup, name: name ?? setup.name, values: Object.fromEntries(all) };
}

/**
 * What a setup says to a Figure: name of the input -> text. A number that a choice brings along (the density of a fuel) comes
 * from the setup only while the choice is the setup's own.
 * @param {import("./calculator.js").Figure} figure
 * @param {Setup} setup
 * @param {Record<string, string>} typed  what the address and the person say
 * @returns {Record<string, string>}
 */
export function valuesFor(figure, setup, typed) {
  /** @type {Record<string, string>} */
  const found = {};
  const ownText = (/** @type {import("./calculator.js").Take} */ take) => (take.setup ? setup.values[take.setup] : undefined);
  for (const take of figure.takes) {
    const text = ownText(take);
    const choice = figure.takes.find(({ name }) => name === take.brings?.split(".")[0]);
    const isOther = choice && ownText(choice) !== undefined && (typed[choice.name] ?? ownText(choice)) !== ownText(choice);
    if (text !== undefined && !isOther) found[take.name] = text;
  }
  return found;
}

/**
 * Notes what could not be written before the page ends: a write that has to read first is not finished then.
 * @param {Setup} setup @param {{name?: string, values?: Record<string, string>}} part
 */
export function jot(setup, part) {
  try {
    localStorage.setItem(JOTTED, JSON.stringify({ setup, part }));
  } catch {
    // No room or not allowed: what was typed in the last moment is lost.
  }
}

/** Writes what an earlier page has noted. */
async function adoptJotted() {
  let noted = null;
  try {
    noted = JSON.parse(localStorage.getItem(JOTTED) ?? "null");
    localStorage.removeItem(JOTTED);
  } catch {
    // There is nothing that can be read.
  }
  if (noted?.setup?.id) await changeSetup(noted.setup, noted.part);
}

/** Leaves a word for the next page, before it is painted: there is something to wait for. @param {Setup | null} setup */
export function hint(setup) {
  try {
    if (setup && Object.keys(setup.values).length) localStorage.setItem(HINT, "1");
    else localStorage.removeItem(HINT);
  } catch {
    // Without it the page shows its own numbers for a moment first.
  }
}
