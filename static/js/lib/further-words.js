/** Words that only some pages' scripts say, by themselves, so that no other page waits for them (webapp/site/wording.py). */

/**
 * Start a component with its words and the further ones, all on their way at the same time.
 * @param {Promise<import("../main.js").Component>} component
 * @param {HTMLElement} element
 * @param {import("../main.js").Options} options
 */
export async function startWithFurtherWords(component, element, options) {
  const [{ start }, { WORDS }] = await Promise.all([component, import(`../further-words.${document.documentElement.lang}.js`)]);
  await start(element, { ...options, words: { ...options.words, ...WORDS } });
}
