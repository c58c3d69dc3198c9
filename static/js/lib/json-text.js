/**
 * Reads JSON (RFC 8259) from a file that anybody may have written or cut. The browser's own reader would do, but it keeps the last
 * of two entries of one name without a word, goes as deep as the text does, and says differently in each browser where a text breaks.
 *
 * @typedef {{key: string, fields: Record<string, string | number>}} Problem  key: of content/words/card-file.md
 */

export const DEEPEST = 12;

const BLANK = /[ \t\n\r]*/y;
const NUMBER = /-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][-+]?\d+)?/y;
const WORDS = { true: true, false: false, null: null };

/** @param {string} text  without a byte order mark @returns {{value: any} | {problem: Problem}} */
export function readJson(text) {
  try {
    return { value: new JsonText(text).whole() };
  } catch (error) {
    if (error instanceof Unreadable) return { problem: { key: error.key, fields: error.fields } };
    throw error;
  }
}

class Unreadable extends Error {
  /** @param {string} key @param {Record<string, string | number>} fields */
  constructor(key, fields) {
    super(key);
    this.key = key;
    this.fields = fields;
  }
}

class JsonText {
  /** @param {string} text */
  constructor(text) {
    this.text = text;
    this.at = 0;
  }

  whole() {
    const value = this.value(1);
    this.blank();
    if (this.at < this.text.length) throw this.broken();
    return value;
  }

  /** @param {number} depth @returns {any} */
  value(depth) {
    this.blank();
    const mark = this.text[this.at];
    if (depth > DEEPEST && (mark === "{" || mark === "[")) throw this.told("card_file_deep", { most: DEEPEST });
    if (mark === "{") return this.object(depth);
    if (mark === "[") return this.list(depth);
    if (mark === '"') return this.string();
    return this.plain();
  }

  /** @param {number} depth */
  object(depth) {
    /** @type {Map<string, any>} */
    const found = new Map();
    this.at += 1;
    if (this.takes("}")) return {};
    do {
      this.blank();
      const line = this.at;
      const name = this.text[this.at] === '"' ? this.string() : this.fail();
      if (found.has(name)) throw this.told("card_file_twice", { name: name.slice(0, 80) }, line);
      if (!this.takes(":")) throw this.broken();
      found.set(name, this.value(depth + 1));
    } while (this.takes(","));
    if (!this.takes("}")) throw this.broken();
    // Made so, "__proto__" is an entry like any other, and is then refused like any other that is not known.
    return Object.fromEntries(found);
  }

  /** @param {number} depth */
  list(depth) {
    /** @type {any[]} */
    const found = [];
    this.at += 1;
    if (this.takes("]")) return found;
    do found.push(this.value(depth + 1));
    while (this.takes(","));
    if (!this.takes("]")) throw this.broken();
    return found;
  }

  /** @returns {string} */
  string() {
    let end = this.text.indexOf('"', this.at + 1);
    while (end > 0 && this.slashesBefore(end) % 2) end = this.text.indexOf('"', end + 1);
    if (end < 0) throw this.told("card_file_cut", {}, this.text.length);
    try {
      const found = JSON.parse(this.text.slice(this.at, end + 1));
      this.at = end + 1;
      return found;
    } catch {
      throw this.broken();
    }
  }

  plain() {
    for (const [word, value] of Object.entries(WORDS)) {
      if (!this.text.startsWith(word, this.at)) continue;
      this.at += word.length;
      return value;
    }
    NUMBER.lastIndex = this.at;
    const [digits] = NUMBER.exec(this.text) ?? [this.fail()];
    this.at += digits.length;
    return Number(digits);
  }

  /** @param {number} end */
  slashesBefore(end) {
    let count = 0;
    while (this.text[end - 1 - count] === "\\") count += 1;
    return count;
  }

  blank() {
    BLANK.lastIndex = this.at;
    BLANK.test(this.text);
    this.at = BLANK.lastIndex;
  }

  /** @param {string} mark */
  takes(mark) {
    this.blank();
    const is = this.text[this.at] === mark;
    if (is) this.at += 1;
    return is;
  }

  /** @returns {never} */
  fail() {
    throw this.broken();
  }

  /** Where a text ends before it is whole it has been cut; elsewhere it was never right. */
  broken() {
    return this.told(this.text.slice(this.at).trim() === "" ? "card_file_cut" : "card_file_broken", {});
  }

  /** @param {string} key @param {Record<string, string | number>} fields @param {number} [at] */
  told(key, fields, at = this.at) {
    const line = this.text.slice(0, at).split("\n").length;
    return new Unreadable(key, { ...fields, line });
  }
}
