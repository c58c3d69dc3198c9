/**
 * A file out of the phone: handed to another app where the browser can, else as a download, else as text to copy. It is made before
 * the tap that takes it, since a browser shares nothing that it had to wait for; and nothing is said to have happened that has not.
 */

import { focusOn, say } from "./job-kit.js";
import { button, made } from "./made.js";

/** @typedef {{blob: Blob, name: string, isTooLarge?: boolean, lacking?: number}} Ready */

const MOST_TEXT = 2 * 1024 * 1024;

/**
 * @param {Record<string, string>} words
 * @param {string} label  of the button that makes the file
 * @param {() => Promise<Ready>} make
 */
export function outPanel(words, label, make) {
  const told = made("p", { role: "status", class: "card-out-told" });
  const ways = made("div", { class: "card-acts" });
  const text = made("textarea", { readonly: true, hidden: true, rows: 6, "aria-label": words.card_out_text_label });
  const go = button(label, async () => {
    told.textContent = words.card_out_making;
    ways.replaceChildren();
    text.hidden = true;
    try {
      const ready = await make();
      told.textContent = readySentences(ready, words).join(" ");
      ways.replaceChildren(...waysOut(ready, words, told, text));
      focusOn(/** @type {HTMLElement} */ (ways.firstElementChild ?? told));
    } catch {
      told.textContent = words.card_out_failed;
    }
  });
  return made("div", { class: "card-out" }, go, told, ways, text);
}

/** @param {Ready} ready @param {Record<string, string>} words */
function readySentences({ blob, name, isTooLarge, lacking }, words) {
  return [
    say(words, "card_out_ready", { name, size: sizeOf(blob.size) }),
    isTooLarge ? words.card_out_large : "",
    lacking ? say(words, "card_file_lacking", { number: lacking }) : "",
  ].filter(Boolean);
}

/** '12 kB', '3.4 MB'. @param {number} bytes */
export function sizeOf(bytes) {
  return bytes < 1e6 ? `${Math.ceil(bytes / 1000)} kB` : `${(bytes / 1e6).toFixed(1)} MB`;
}

/** @param {Ready} ready @param {Record<string, string>} words @param {HTMLElement} told @param {HTMLTextAreaElement} text */
function waysOut({ blob, name }, words, told, text) {
  const file = new File([blob], name, { type: blob.type });
  const showText = async () => {
    text.value = await blob.text();
    text.hidden = false;
    text.focus();
    text.select();
    told.textContent = words.card_out_text_told;
  };
  const asText = button(words.card_out_text, showText);
  const canText = blob.size <= MOST_TEXT;
  const share = button(words.card_out_share, async () => {
    told.textContent = await shared(file, name, words);
  });
  return [
    ...(canShare(file) ? [share] : []),
    ...(canDownload() ? [downloadLink(file, name, words, told)] : []),
    ...(canText ? [asText] : []),
  ];
}

/** An app on the home screen of an iPhone opens a download as a page that it has no way back from. */
function canDownload() {
  return "download" in HTMLAnchorElement.prototype && !(/** @type {any} */ (navigator).standalone);
}

/** @param {File} file */
function canShare(file) {
  try {
    return typeof navigator.share === "function" && navigator.canShare({ files: [file] });
  } catch {
    return false;
  }
}

/** @param {File} file @param {string} title @param {Record<string, string>} words @returns {Promise<string>} what came of it */
async function shared(file, title, words) {
  try {
    await navigator.share({ files: [file], title });
    return words.card_out_shared;
  } catch (error) {
    const isCancelled = error instanceof DOMException && error.name === "AbortError";
    return isCancelled ? words.card_out_cancelled : words.card_out_refused;
  }
}

/** @param {File} file @param {string} name @param {Record<string, string>} words @param {HTMLElement} told */
function downloadLink(file, name, words, told) {
  const link = made("a", { class: "call", href: URL.createObjectURL(file), download: name }, made("b", {}, words.card_out_download));
  link.addEventListener("click", () => (told.textContent = say(words, "card_out_downloading", { name })));
  return link;
}
