/** Work that may wait until the page has nothing else to do. */

/** @returns {Promise<void>} the next pause, in half a second at the latest; engines without such a thing give the next task instead */
export function pause() {
  return new Promise((done) => {
    if (typeof requestIdleCallback === "function") requestIdleCallback(() => done(), { timeout: 500 });
    else setTimeout(done);
  });
}
