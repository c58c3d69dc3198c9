/** The emergency number that a person has set for the place where they work. No DOM. */

import { read, watchOthers, write } from "./store.js";

/** @typedef {import("./store.js").Outcome} Outcome */

const PLACE = { store: "kept", key: "emergency" }; // holds {number}
const MOST_DIGITS = 20; // 15 are the most of an international number (ITU-T E.164, from memory), and a way out of a house exchange before it

/** @type {Set<() => void>} */
const watchers = new Set();

/**
 * What is wrong with a number as typed: which of the sentences `emergency_own_KEY`, and the sign that it speaks of; null where it
 * can be called, or is empty.
 * @param {string} text
 * @returns {{key: string, sign: string} | null}
 */
export function faultOf(text) {
  const number = tidied(text);
  const [sign = ""] = number.match(/[^0-9+*# ]/u) ?? [];
  if (sign) return { key: "sign", sign };
  if (number.lastIndexOf("+") > 0) return { key: "plus", sign };
  const digits = number.replace(/[^0-9]/g, "").length;
  if (number && digits < 2) return { key: "short", sign };
  return digits > MOST_DIGITS ? { key: "long", sign } : null;
}

/** The number without spaces around it and with single ones inside. @param {string} text */
export function tidied(text) {
  return text.trim().replace(/\s+/g, " ");
}

/** The address that calls a number; '#' would end it (RFC 3966, from memory). @param {string} number */
export function callAddress(number) {
  return `tel:${number.replaceAll(" ", "").replaceAll("#", "%23")}`;
}

/** @returns {Promise<string>} '' where none is set */
export async function ownNumber() {
  return (await read(PLACE.store, PLACE.key))?.number ?? "";
}

/** @param {string} text  one without a fault; '' takes the number out @returns {Promise<Outcome>} */
export async function keepNumber(text) {
  const number = tidied(text);
  const outcome = await write([{ ...PLACE, change: () => (number ? { number } : undefined) }]);
  watchers.forEach((watcher) => watcher());
  return outcome;
}

/** Be told that the number may have changed, here or in another window. @param {() => void} watcher */
export function watchNumber(watcher) {
  watchers.add(watcher);
  watchOthers((places) => places.some(({ store, key }) => store === PLACE.store && key === PLACE.key) && watcher());
}
