/** Says the answer aloud, where the phone has a voice for the page's language; else the button stays away. */

/**
 * @param {HTMLElement} element  holds the button `data-act="speak"`
 * @param {Record<string, string>} words
 * @param {{spoken: () => string}} told
 */
export function startSpeak(element, words, { spoken }) {
  const button = /** @type {HTMLElement} */ (element.querySelector("[data-act=speak]"));
  try {
    const synth = window.speechSynthesis;
    if (!synth || typeof SpeechSynthesisUtterance !== "function") return;
    const look = () => (button.hidden = !voiceFor(synth, document.documentElement.lang));
    look();
    // Most browsers list their voices only some time after the first asking.
    synth.addEventListener?.("voiceschanged", look);
    button.addEventListener("click", () => toggle(synth, button, words, spoken()));
  } catch {
    button.hidden = true;
  }
}

/** @param {SpeechSynthesis} synth @param {string} language  as in <html lang> */
function voiceFor(synth, language) {
  const voices = synth.getVoices().filter(({ lang }) => lang.toLowerCase().split(/[-_]/)[0] === language.toLowerCase().split("-")[0]);
  // A voice on the phone itself speaks without a signal.
  return voices.find(({ localService }) => localService) ?? voices[0] ?? null;
}

/** @param {SpeechSynthesis} synth @param {HTMLElement} button @param {Record<string, string>} words @param {string} text */
function toggle(synth, button, words, text) {
  const idle = () => (button.textContent = words.figure_speak);
  const wasSpeaking = synth.speaking;
  synth.cancel();
  idle();
  if (wasSpeaking) return;
  // The thin space between groups of digits makes some voices read two numbers.
  const said = new SpeechSynthesisUtterance(text.replace(/(\d)[\u202f\u00a0](?=\d)/g, "$1"));
  said.lang = document.documentElement.lang;
  said.voice = voiceFor(synth, said.lang);
  said.onend = said.onerror = idle;
  button.textContent = words.figure_speak_stop;
  synth.speak(said);
}
