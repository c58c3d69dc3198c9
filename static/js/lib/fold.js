// Texts as the finder compares them. Twin: webapp/finder/fold.py, where the rule stands.

/** @type {(marks: string, meant: string) => [string, string][]} */
const all = (marks, meant) => [...marks].map((mark) => [mark, meant]);

/** @type {Map<string, string>} */
export const MARKS = new Map([
  ["×", "x"],
  ...all("\u2010\u2011\u2012\u2013\u2014\u2015\u2212", "-"),
  ...all("\u2044\u2215", "/"),
  ["λ", " lambda "], ["φ", " phi "], ["ω", " ohm "], ["μ", "u"],
  ["ß", "ss"], ["æ", "ae"], ["œ", "oe"], ["ø", "o"], ["đ", "d"], ["ł", "l"], ["ı", "i"],
]);

const ACCENTS = /[\u0300-\u036f]/g;
const APART = "\\x00-\\x20!\"$%&'()*+:;<=>?@\\[\\\\\\]^_`{|}~\\x7f-\\xbf\\u2000-\\u206f\\u3000-\\u303f";
const WORD = new RegExp(`(?:[-#](?=[0-9]))?(?:[0-9](?:[./](?=[0-9]))?|[^0-9${APART}.,/#-])+`, "g");
const MARKED = new RegExp(`[${[...MARKS.keys()].join("")}]`, "g");

/**
 * The words of a text, in order.
 * @param {string} text
 * @returns {string[]}
 */
export function wordsOf(text) {
  const folded = text.normalize("NFKD").replace(ACCENTS, "").toLowerCase().replace(MARKED, (mark) => MARKS.get(mark) ?? mark)
    .replace(/([0-9]) *x *(?=[0-9.])/g, "$1 ").replace(/([0-9]),(?=[0-9])/g, "$1.").replace(/([0-9])-/g, "$1 ");
  return folded.match(WORD) ?? [];
}

/**
 * One text for the same words in whatever order and however they are parted; two sizes stay two.
 * @param {string[]} words
 */
export function phraseOf(words) {
  return [...words].sort().join(" ").replace(/ (?![0-9])/g, "").replace(/([^0-9]) /g, "$1");
}

/**
 * Neighbouring words written as one: "ft", "lb" gives "ftlb".
 * @param {string[]} words
 */
export function pairsOf(words) {
  return words.slice(1).map((word, n) => words[n] + word);
}
