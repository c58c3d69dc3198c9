/** Brings the setup's page, and with it the phone's store: a file apart, so that no other page waits for it or falls with it. */

/** @param {HTMLElement} element @param {import("../main.js").Options} options */
export async function start(element, options) {
  const { start: begin } = await import("./setup.js");
  await begin(element, options);
}
