/** Light, dark or as the phone has it. theme.js sets the kept choice before the first paint; this changes it. */

const KEY = "cowlside-theme"; // the same as in theme.js

/** For which setting of the phone the first (light) and the second (dark) colour of the browser's own bar hold. */
const MEDIA = {
  auto: ["(prefers-color-scheme: light)", "(prefers-color-scheme: dark)"],
  day: ["all", "not all"],
  night: ["not all", "all"],
};

/** @typedef {keyof typeof MEDIA} Choice */

/** @param {HTMLElement} element  a fieldset with one radio button for each of auto, day and night */
export function start(element) {
  const current = document.documentElement.dataset.theme ?? "auto";
  const notKept = /** @type {HTMLElement} */ (element.querySelector("[data-part=not-kept]"));
  for (const radio of element.querySelectorAll("input")) {
    radio.checked = radio.value === current;
    radio.addEventListener("change", () => {
      apply(/** @type {Choice} */ (radio.value));
      notKept.hidden = keep(radio.value);
    });
  }
  element.hidden = false;
}

/** @param {Choice} choice */
function apply(choice) {
  const page = document.documentElement;
  if (choice === "auto") delete page.dataset.theme;
  else page.dataset.theme = choice;
  const metas = /** @type {NodeListOf<HTMLMetaElement>} */ (document.querySelectorAll('meta[name="theme-color"]'));
  metas.forEach((meta, n) => (meta.media = MEDIA[choice][n]));
}

/** @param {string} choice @returns {boolean} whether this browser keeps it */
function keep(choice) {
  try {
    if (choice === "auto") localStorage.removeItem(KEY);
    else localStorage.setItem(KEY, choice);
    return true;
  } catch {
    return false;
  }
}
