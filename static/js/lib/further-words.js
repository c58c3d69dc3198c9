/** Words that only some pages' scripts say, by themselves, so that no other page waits for them (webapp/site/wording.py). */

/**
 * What a component is started with, its words and the further ones.
 * @param {import("../main.js").Options} options
 * @returns {Promise<import("../main.js").Options>}
 */
export async function withFurtherWords(options) {
  const { WORDS } = await import(`../further-words.${document.documentElement.lang}.js`);
  return { ...options, words: { ...options.words, ...WORDS } };
}
