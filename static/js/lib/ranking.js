// Which entries a few typed words mean, the likeliest first. Twin: webapp/finder/ranking.py, where the rule stands.
// What is remembered here from key to key changes no answer: it is the part of the work that the next key would repeat.

import { pairsOf, phraseOf, wordsOf } from "./fold.js";

/**
 * @typedef {import("./unit-names.js").Units} Units
 * @typedef {{kind: string, title: string, path: string, about: string}} Entry
 * @typedef {{count: number, entries: Entry[], whole: boolean}} Found
 * @typedef {[kind: number, name: string, label: string, unit: number, low: number, high: number]} Input
 * @typedef {[id: string, title: string, summary: string, finds: string[], labels: string, inputs: Input[], kinds: number[]]} FigureData
 * @typedef {object} Data  as webapp/finder/data.py makes it
 * @property {string[]} kinds
 * @property {FigureData[]} figures
 * @property {[title: string, parts: [id: string, title: string, finds: string[]][]]} emergency
 * @property {[id: string, title: string, says: string, finds: string[]][]} cautions
 * @property {[id: string, title: string, summary: string, finds: string[], labels: string, rows: string[]][]} tables
 * @property {[id: string, title: string, summary: string, finds: string[], steps: [id: string, says: string, finds: string[]][]][]} jobs
 * @property {[path: string, title: string, summary: string][]} help
 * @property {[anchor: string, word: string, says: string, finds: string[]][]} glossary
 */

export const LIMIT = 64;
/** @type {Record<string, number>} */
export const WEIGHTS = { title: 10, finds: 10, id: 7, labels: 5, units: 4, summary: 3, above: 2 };
const ABOVE = WEIGHTS.above;
/** @type {Record<string, number>} */
export const KINDS = { figure: 200, emergency: 150, caution: 180, table: 150, help: 60, word: 90, job: 170, row: 0, step: 0 };
const SAME_PHRASE = 100;
const RIGHT = 4096;
const OWN = 2048;
/** The parts of a sorting key, each larger than what stands behind it can become; all of them fit into 53 bits. */
const ENTRIES = 2 ** 13;
const WORTH = 2 ** 17;
const HELD = 2 ** 6;
const REMEMBERED = 40; // typed words

/** The entries of one index. */
export class Ranking {
  /** @param {Data} data @param {Units} units */
  constructor(data, units) {
    /** @type {Entry[]} */
    this.entries = [];
    /** @type {Map<string, Map<number, number>>} */
    this.postings = new Map();
    /** @type {Map<string, number[]>} */
    this.phrases = new Map();
    /** @type {Map<string, {inside: string[], given: Uint16Array}>} what typed words gave */
    this.known = new Map();
    this.unitWords = data.kinds.map((kind) => unitWordsOf(kind, units));
    this.waiting = this.everything(data);
    this.isWhole = false;
  }

  /**
   * Take in entries until all are in or `until` says so: in the pauses of a page, since all at once would hold it up.
   * @param {() => boolean} [until]
   * @returns {boolean} whether all are in
   */
  prepare(until = () => false) {
    while (!this.isWhole && !until()) this.isWhole = this.waiting.next().done === true;
    if (this.isWhole && !this.words) {
      this.words = [...this.postings.keys()];
      this.masks = this.words.map(maskOf);
    }
    return this.isWhole;
  }

  /**
   * The entries that a query means, `most` of them at most.
   * @param {string} query
   * @param {number} most
   * @returns {Found}
   */
  find(query, most) {
    this.prepare();
    const typed = wordsOf([...query].slice(0, LIMIT).join("")).flatMap((word) => this.parted(word));
    const given = typed.map((word) => this.givenBy(word));
    pairsOf(typed).forEach((pair, n) => {
      const joined = this.begunBy(pair);
      if (!joined) return;
      for (const place of [n, n + 1]) given[place] = bestOf(given[place], joined);
    });
    const keys = this.keysOf(given, this.phrases.get(phraseOf(typed)) ?? []);
    const fullest = Math.floor((keys.at(-1) ?? 0) / (ENTRIES * WORTH * HELD));
    const kept = keys.subarray(firstFrom(keys, fullest * ENTRIES * WORTH * HELD));
    const shown = [...kept.subarray(Math.max(0, kept.length - most))].reverse();
    const entries = shown.map((key) => this.entries[ENTRIES - 1 - (key % ENTRIES)]);
    return { count: kept.length, entries, whole: fullest === typed.length };
  }

  /**
   * The entries whose title or further name is just what was typed.
   * @param {string} query
   * @param {number} most
   */
  same(query, most) {
    const numbers = this.phrases.get(phraseOf(wordsOf([...query].slice(0, LIMIT).join("")))) ?? [];
    return [...new Set(numbers)].slice(0, most).map((number) => this.entries[number]);
  }

  /**
   * A number for each entry that holds a typed word, rising: words held, of these as typed, worth, place from behind.
   * @param {Uint16Array[]} given
   * @param {number[]} same
   */
  keysOf(given, same) {
    const keys = [];
    for (let entry = 0; entry < this.entries.length; entry++) {
      let [held, right, worth, own] = [0, 0, 0, 0];
      for (const gave of given) {
        if (gave[entry]) held++;
        if (gave[entry] >= RIGHT) right++;
        worth += gave[entry] % OWN;
        own |= gave[entry] & OWN;
      }
      if (!own) continue;
      worth += KINDS[this.entries[entry].kind] + (same.includes(entry) ? SAME_PHRASE : 0);
      keys.push((((held * HELD + right) * WORTH) + worth) * ENTRIES + ENTRIES - 1 - entry);
    }
    return Float64Array.from(keys).sort();
  }

  /** A word of letters and figures with which nothing begins is two. @param {string} word @returns {string[]} */
  parted(word) {
    const parts = /^([^0-9]+)([0-9].*)$/.exec(word);
    return parts && !this.words?.some((other) => other.startsWith(word)) ? [parts[1], parts[2]] : [word];
  }

  /**
   * For each entry what a typed word gives it, 0 for nothing.
   * @param {string} word
   */
  givenBy(word) {
    const known = this.known.get(word);
    if (known) return known.given;
    // Every word with this one inside has its first letters inside too: what those found is all that need be looked at.
    const narrowed = this.known.get(word.slice(0, -1))?.inside ?? this.words ?? [];
    const given = new Uint16Array(this.entries.length);
    const inside = narrowed.filter((other) => other.includes(word));
    for (const other of inside) this.give(given, other, RIGHT, shareOf(word, other, false));
    if (!inside.some((other) => other.startsWith(word))) this.addMistyped(given, word);
    if (this.known.size >= REMEMBERED) this.known.clear();
    this.known.set(word, { inside, given });
    return given;
  }

  /** @param {string} pair @returns {Uint16Array | null} what two words typed as one give, null for nothing at all */
  begunBy(pair) {
    const words = (this.words ?? []).filter((other) => other.startsWith(pair));
    if (!words.length) return null;
    const given = new Uint16Array(this.entries.length);
    for (const other of words) this.give(given, other, RIGHT, shareOf(pair, other, true));
    return given;
  }

  /** @param {Uint16Array} given @param {string} word */
  addMistyped(given, word) {
    // A letter of two units of JavaScript's is one letter, as on the server's side; the index holds none.
    const letters = word.replace(/[\ud800-\udbff][\udc00-\udfff]/g, "\uffff");
    const most = /[0-9]/.test(word) ? 0 : Number(letters.length >= 4) + Number(letters.length >= 8);
    if (!most || !this.words || !this.masks) return;
    const mask = maskOf(letters);
    for (let n = 0; n < this.words.length; n++) {
      // A change brings in or takes away one letter at most: words that lack more of the typed letters are not looked at.
      if (bits(mask & ~this.masks[n]) <= most) this.give(given, this.words[n], 0, near(letters, this.words[n], most));
    }
  }

  /** @param {Uint16Array} given @param {string} word @param {number} right @param {number} share */
  give(given, word, right, share) {
    if (!share) return;
    for (const [entry, weight] of this.postings.get(word) ?? []) {
      const gives = right + share * weight + (weight === ABOVE ? 0 : OWN);
      if (gives > given[entry]) given[entry] = gives;
    }
  }

  // -- making the index -----------------------------------------------------------------------------------------

  /** Takes in one entry at each step. @param {Data} data */
  *everything(data) {
    for (const figure of data.figures) yield this.addFigure(figure);
    const [title, parts] = data.emergency;
    for (const [name, part, finds] of parts) {
      yield this.add({ kind: "emergency", title: part, path: `emergency/#${name}`, about: title }, finds, { summary: [title] });
    }
    for (const [name, caution, says, finds] of data.cautions) {
      yield this.add({ kind: "caution", title: caution, path: `cautions/${name}/`, about: says }, finds, { id: [spaced(name)], summary: [says] });
    }
    for (const [name, table, summary, finds, labels] of data.tables) {
      const fields = { id: [spaced(name)], labels: [labels], summary: [summary] };
      yield this.add({ kind: "table", title: table, path: `tables/${name}/`, about: summary }, finds, fields);
    }
    for (const [name, job, summary, finds] of data.jobs) {
      yield this.add({ kind: "job", title: job, path: `job/${name}/`, about: summary }, finds, { id: [spaced(name)], summary: [summary] });
    }
    for (const [path, page, summary] of data.help) {
      yield this.add({ kind: "help", title: page, path, about: summary }, [], { summary: [summary] });
    }
    for (const [anchor, word, says, finds] of data.glossary) {
      yield this.add({ kind: "word", title: word, path: `glossary/#${anchor}`, about: says }, finds, { summary: [says] });
    }
    for (const [name, table, , finds, , rows] of data.tables) {
      for (let n = 0; n < rows.length; n += 2) {
        const [row, label] = rows.slice(n, n + 2);
        const fields = { id: [spaced(row)], above: [table, ...finds] };
        yield this.add({ kind: "row", title: label, path: `tables/${name}/#row-${row}`, about: table }, [], fields);
      }
    }
    for (const [name, job, , finds, steps] of data.jobs) {
      for (const [step, says, own] of steps) {
        // What a step says is a sentence, not a title: its words weigh as those of a summary.
        const fields = { id: [spaced(step)], summary: [says], above: [job, ...finds] };
        yield this.add({ kind: "step", title: says, path: `job/${name}/#step-${step}`, about: job }, own, fields, false);
      }
    }
  }

  /** @param {FigureData} figure */
  addFigure([name, title, summary, finds, labels, inputs, kinds]) {
    const ofKinds = [...inputs.map(([kind]) => kind), ...kinds];
    this.add({ kind: "figure", title, path: `figures/${name}/`, about: summary }, finds, {
      id: [spaced(name)],
      labels: [labels, ...inputs.map(([, , label]) => label)],
      units: ofKinds.flatMap((kind) => this.unitWords[kind]),
      summary: [summary],
    });
  }

  /** @param {Entry} entry @param {string[]} finds @param {Record<string, string[]>} fields @param {boolean} [titled] */
  add(entry, finds, fields, titled = true) {
    const number = this.entries.push(entry) - 1;
    for (const phrase of titled ? [entry.title, ...finds] : finds) {
      const words = wordsOf(phrase);
      const joined = phraseOf(words);
      this.phrases.set(joined, [...(this.phrases.get(joined) ?? []), number]);
      for (const word of [...words, ...pairsOf(words)]) this.post(word, number, WEIGHTS.title);
    }
    for (const [place, texts] of Object.entries(fields)) {
      for (const text of texts) for (const word of wordsOf(text)) this.post(word, number, WEIGHTS[place]);
    }
  }

  /** @param {string} word @param {number} entry @param {number} weight */
  post(word, entry, weight) {
    const entries = this.postings.get(word) ?? new Map();
    if (!entries.size) this.postings.set(word, entries);
    entries.set(entry, Math.max(entries.get(entry) ?? 0, weight));
  }
}

/** Every name of every unit of a kind, each as one word. @param {string} kind @param {Units} units */
function unitWordsOf(kind, units) {
  const named = units.kinds[kind].units.map((unit) => units.units[unit]);
  return [...new Set(named.flatMap(({ symbol, names }) => [symbol, ...names]).map((text) => wordsOf(text).join("")))];
}

/** @param {string} name */
const spaced = (name) => name.replaceAll("-", " ");

/** @param {Uint16Array} one @param {Uint16Array} other */
const bestOf = (one, other) => one.map((gave, n) => Math.max(gave, other[n]));

/** Place of the first of rising keys that is not below `least`. @param {Float64Array} keys @param {number} least */
function firstFrom(keys, least) {
  const found = keys.findIndex((key) => key >= least);
  return found < 0 ? keys.length : found;
}

/**
 * What a typed word is worth against a word of the index, in hundredths; 0 where it is not in it.
 * @param {string} word
 * @param {string} other
 * @param {boolean} isPair
 */
function shareOf(word, other, isPair) {
  if (word === other) return 100;
  if (other.startsWith(word)) return 60 + Math.floor((30 * word.length) / other.length);
  if (!isPair && word.length >= 3 && other.includes(word)) return 20 + Math.floor((20 * word.length) / other.length);
  return 0;
}

/**
 * What a mistyped word is worth: 22 or 14 for one or two changes of a whole word, 12 or 8 for those of its beginning.
 * @param {string} word
 * @param {string} other
 * @param {number} most
 */
function near(word, other, most) {
  if (other.length < word.length - most) return 0;
  const [whole, begun] = changes(word, other, most);
  if (whole <= most) return 30 - 8 * Math.max(whole, 1);
  return begun <= most ? 16 - 4 * Math.max(begun, 1) : 0;
}

/**
 * Letters to add, drop, replace or swap with their neighbour to get from `word` to `other`, and to the nearest beginning of it;
 * where both are more than `most`, any two numbers above it.
 * @param {string} word
 * @param {string} other
 * @param {number} [most]
 * @returns {[number, number]}
 */
export function changes(word, other, most = Infinity) {
  const wide = other.length + 1;
  // Rows of one table that is kept: making them anew for each of a thousand words would be most of the work.
  if (table.length < (word.length + 1) * wide) table = new Uint8Array((word.length + 1) * wide * 2);
  for (let j = 0; j < wide; j++) table[j] = j;
  let [least, before] = [0, 0];
  for (let i = 0; i < word.length; i++) {
    const [above, row] = [i * wide, (i + 1) * wide];
    [before, least] = [least, (table[row] = i + 1)];
    for (let j = 0; j < other.length; j++) {
      const isOther = word.charCodeAt(i) === other.charCodeAt(j) ? 0 : 1;
      let best = Math.min(table[above + j] + isOther, table[above + j + 1] + 1, table[row + j] + 1);
      if (i && j && word.charCodeAt(i) === other.charCodeAt(j - 1) && word.charCodeAt(i - 1) === other.charCodeAt(j)) {
        best = Math.min(best, table[above - wide + j - 1] + 1);
      }
      table[row + j + 1] = best;
      if (best < least) least = best;
    }
    // No later row has less than the less of two rows that follow one another.
    if (least > most && before > most) return [least, least];
  }
  return [table[word.length * wide + other.length], least];
}

let table = new Uint8Array(1024);

/** Which letters a word holds, a to z as one bit each and all others as none. @param {string} word */
function maskOf(word) {
  let mask = 0;
  for (let n = 0; n < word.length; n++) {
    const letter = word.charCodeAt(n) - 97;
    if (letter >= 0 && letter < 26) mask |= 1 << letter;
  }
  return mask;
}

/** How many bits are set. @param {number} mask */
function bits(mask) {
  let count = 0;
  for (let left = mask; left; left &= left - 1) count++;
  return count;
}
