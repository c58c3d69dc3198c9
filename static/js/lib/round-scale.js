/**
 * What the scale of the wrench says of the torques that the rounds set it to, an adapter counted. Words and limits are those of the
 * Figure 'wrench-range'; whoever types no scale is asked nothing. No DOM.
 *
 * @typedef {import("./round-typed.js").Typed} Typed
 * @typedef {import("./round-typed.js").Wrong} Wrong
 * @typedef {import("./round-figures.js").RoundFigures} RoundFigures
 */

import { adapterOf, fieldWrongs, filled, quantity, shareTexts } from "./round-typed.js";

/** What has to be put right: a scale that cannot be read, or that the full torque does not lie on. @param {Typed} typed @param {RoundFigures} figures @param {Record<string, string>} words @returns {Wrong[]} */
export function scaleWrongs(typed, figures, words) {
  if (!isGiven(typed)) return [];
  const { label } = figures.ranging.text.labels.top;
  if (!typed.top.trim()) return [{ name: "top", label, text: words.round_wrong_top }];
  const found = fieldWrongs(figures.rangeView(figures.anyTorque(), scaleOf(typed)), ["bottom", "top"], typed, words);
  const full = found.length ? null : place(typed, figures, 1);
  return full?.side ? [{ name: full.side, label: "", text: full.sentence }] : found;
}

/** Sentences about rounds that the wrench cannot be trusted with, though it can with the full torque. @param {Typed} typed  nothing wrong with it @param {RoundFigures} figures @param {Record<string, string>} words @returns {string[]} */
export function scaleWarnings(typed, figures, words) {
  if (!isGiven(typed)) return [];
  const places = shareTexts(typed).map((text) => place(typed, figures, figures.share(text).share));
  return places.flatMap((found, n) => (found?.sentence ? [filled(words.round_scale_round, { round: String(n + 1), sentence: found.sentence })] : []));
}

/** @param {Typed} typed */
function isGiven({ top, bottom }) {
  return Boolean(top.trim() || bottom.trim());
}

/** @param {Typed} typed */
function scaleOf(typed) {
  return { top: quantity(typed, "top"), bottom: typed.bottom.trim() ? quantity(typed, "bottom") : "" };
}

/** @param {Typed} typed @param {RoundFigures} figures @param {number} share @returns {{side: "" | "top" | "bottom", sentence: string} | null} */
function place(typed, figures, share) {
  const setting = figures.settingText({ torque: quantity(typed, "torque"), adapter: adapterOf(typed) }, share);
  return setting ? figures.placeOnScale(setting, scaleOf(typed)) : null;
}
