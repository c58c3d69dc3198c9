/** Copy the answer, and pass on the address with all numbers in it. Each way has a next one; the last is to mark and copy by hand. */

/** @typedef {{text: () => string, title: string, address: () => string}} Told */

/**
 * @param {HTMLElement} element  holds the buttons `data-act="copy"` and `"share"`
 * @param {Record<string, string>} words
 * @param {Told} told
 */
export function startShare(element, words, { text, title, address }) {
  const one = (/** @type {string} */ selector) => /** @type {HTMLElement} */ (element.querySelector(selector));
  const [said, byHand] = [one("[data-part=told]"), /** @type {HTMLTextAreaElement} */ (one("[data-part=by-hand]"))];
  const copy = async (/** @type {string} */ what, /** @type {string} */ done) => {
    byHand.hidden = true;
    const isCopied = (await toClipboard(what)) || byMark(byHand, what);
    said.textContent = isCopied ? done : words.figure_copy_failed;
    if (isCopied) return;
    byHand.value = what;
    byHand.hidden = false;
    byHand.select();
  };
  one("[data-act=copy]").addEventListener("click", () => void copy(text(), words.figure_copied));
  one("[data-act=share]").addEventListener("click", async () => {
    said.textContent = "";
    if (!(await passOn({ title, url: address() }))) await copy(address(), words.figure_share_copied);
  });
  element.hidden = false;
}

/** @param {string} text @returns {Promise<boolean>} */
async function toClipboard(text) {
  try {
    await navigator.clipboard.writeText(text);
    return true;
  } catch {
    return false; // no such thing here (plain http), or not allowed
  }
}

/** The older way, which also works on a page that came without https. @param {HTMLTextAreaElement} field @param {string} text */
function byMark(field, text) {
  const before = /** @type {HTMLElement | null} */ (document.activeElement);
  try {
    field.value = text;
    field.hidden = false;
    field.select();
    const isCopied = document.execCommand("copy");
    field.hidden = isCopied;
    if (isCopied) before?.focus({ preventScroll: true });
    return isCopied;
  } catch {
    return false;
  }
}

/** @param {{title: string, url: string}} what @returns {Promise<boolean>} false where the phone has no way to share */
async function passOn(what) {
  try {
    if (typeof navigator.share !== "function") return false;
    await navigator.share(what);
    return true;
  } catch (error) {
    // Closing the phone's own sheet is an answer, not a failure.
    return error instanceof DOMException && error.name === "AbortError";
  }
}
