/** The phone's own voice: whether it speaks the page's language, and texts said one after the other. No DOM. */

/**
 * Be told whether there is a voice for a language, at once and whenever the phone's list of voices changes.
 * @param {string} language  as in <html lang>
 * @param {(hasVoice: boolean) => void} told
 */
export function watchVoice(language, told) {
  try {
    const synth = window.speechSynthesis;
    if (!synth || typeof SpeechSynthesisUtterance !== "function") return told(false);
    const look = () => told(Boolean(voiceFor(synth, language)));
    look();
    // Most browsers list their voices only some time after the first asking.
    synth.addEventListener?.("voiceschanged", look);
  } catch {
    told(false);
  }
}

/** Says one list of texts at a time: a new list ends the one before. */
export class Voice {
  /** @param {string} language */
  constructor(language) {
    this.language = language;
    /** The list that is being said; what an ended one still reports is dropped. */
    this.job = 0;
    this.isSpeaking = false;
    /** @type {SpeechSynthesisUtterance | null} held here: some engines forget one that nobody holds, and never say that it ended */
    this.said = null;
  }

  /**
   * @param {string[]} texts  one breath each: long ones are cut off by some engines
   * @param {{onText?: (index: number) => void, onEnd: () => void}} told  onEnd: after the last one, not after `stop`
   */
  say(texts, told) {
    this.stop();
    this.isSpeaking = true;
    this.next(texts, 0, this.job, told);
  }

  stop() {
    this.job += 1;
    this.isSpeaking = false;
    try {
      window.speechSynthesis.cancel();
    } catch {
      // it says nothing, then
    }
  }

  /** @param {string[]} texts @param {number} index @param {number} job @param {{onText?: (index: number) => void, onEnd: () => void}} told */
  next(texts, index, job, told) {
    if (job !== this.job) return;
    if (index === texts.length) {
      this.isSpeaking = false;
      told.onEnd();
      return;
    }
    told.onText?.(index);
    this.said = utterance(texts[index], this.language);
    this.said.onend = this.said.onerror = () => this.next(texts, index + 1, job, told);
    window.speechSynthesis.speak(this.said);
  }
}

/** @param {string} text @param {string} language */
function utterance(text, language) {
  // The thin space between groups of digits makes some voices read two numbers.
  const made = new SpeechSynthesisUtterance(text.replace(/(\d)[\u202f\u00a0](?=\d)/g, "$1"));
  made.lang = language;
  made.voice = voiceFor(window.speechSynthesis, language);
  return made;
}

/** @param {SpeechSynthesis} synth @param {string} language */
function voiceFor(synth, language) {
  const voices = synth.getVoices().filter(({ lang }) => lang.toLowerCase().split(/[-_]/)[0] === language.toLowerCase().split("-")[0]);
  // A voice on the phone itself speaks without a signal.
  return voices.find(({ localService }) => localService) ?? voices[0] ?? null;
}
