/** A moment in words, as the person's own region writes it. No DOM. */

const NEAR_MS = 6 * 24 * 60 * 60 * 1000; // within it a day of the week says which day is meant

/**
 * '14:05' today, 'Thursday 14:05' within some days, else the date.
 * @param {number} at  ms since 1970
 * @param {number} now  the same
 * @param {string} language  of the page; the first region of the phone that speaks it says how times are written
 */
export function whenInWords(at, now, language) {
  const [then, today] = [new Date(at), new Date(now)];
  return new Intl.DateTimeFormat(regionOf(language), shape(then, today)).format(then);
}

/** @param {Date} then @param {Date} today @returns {Intl.DateTimeFormatOptions} */
function shape(then, today) {
  if (then.toDateString() === today.toDateString()) return { hour: "numeric", minute: "2-digit" };
  if (Math.abs(then.getTime() - today.getTime()) < NEAR_MS) return { weekday: "long", hour: "numeric", minute: "2-digit" };
  return { dateStyle: "medium", timeStyle: "short" };
}

/** @param {string} language */
function regionOf(language) {
  const isOurs = (/** @type {string} */ one) => one.toLowerCase().split("-")[0] === language.toLowerCase().split("-")[0];
  return (navigator.languages ?? []).find(isOurs) ?? language;
}
