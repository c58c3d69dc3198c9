/** Brings a torque round, and with it the phone's store and the Figures' calculator: files apart, so that no other page waits for them. */

/** @param {HTMLElement} element @param {import("../main.js").Options} options */
export async function start(element, options) {
  const { start: begin } = await import("./torque-round.js");
  await begin(element, options);
}
