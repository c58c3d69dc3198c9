/** Says a Figure's answer aloud, where the phone has a voice for the page's language; else the button stays away. */

import { Voice, watchVoice } from "../lib/voice.js";

/**
 * @param {HTMLElement} element  holds the button `data-act="speak"`
 * @param {Record<string, string>} words
 * @param {{spoken: () => string}} told
 */
export function startSpeak(element, words, { spoken }) {
  const button = /** @type {HTMLElement} */ (element.querySelector("[data-act=speak]"));
  const { lang } = document.documentElement;
  const voice = new Voice(lang);
  const idle = () => (button.textContent = words.figure_speak);
  watchVoice(lang, (hasVoice) => (button.hidden = !hasVoice));
  button.addEventListener("click", () => {
    if (voice.isSpeaking) {
      voice.stop();
      idle();
      return;
    }
    button.textContent = words.figure_speak_stop;
    voice.say([spoken()], { onEnd: idle });
  });
}
