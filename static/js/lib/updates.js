/**
 * New releases: looks for them, says when one is ready, takes it over when the person accepts. No DOM.
 *
 * @typedef {{release: string, dated: string, news: Record<string, string>}} Release
 * @typedef {object} Hearer
 * @property {(release: Release) => void} ready    another release is saved whole and waits
 * @property {(release: Release) => void} taken    the accepted release is in charge: reload once
 * @property {() => void} withdrawn  what waits, or was accepted, is this page's own release after all: the host went back to it
 * @property {(release: Release) => void} stale    another window accepted it: this page is of the older release
 */

import { ask, connect, workerContainer } from "./worker-link.js";

const CHECK_EVERY_MS = 5 * 60 * 1000;
const TAKE_OVER_LIMIT_MS = 330000;

/**
 * @param {string} root         absolute address of the site's root
 * @param {string} pageRelease  the release that this page is of
 * @param {Hearer} hear
 * @returns {Promise<{check: () => void, compare: () => Promise<void>, accept: () => Promise<boolean>} | null>}
 *   null where no worker is possible; `accept` gives true when the release takes over, false when it cannot
 */
export async function watchUpdates(root, pageRelease, hear) {
  const link = await connect(root);
  const container = workerContainer();
  if (!container || "problem" in link) return null;
  const { registration } = link;
  let accepted = false;

  const compare = async () => {
    const inCharge = await releaseOf(container.controller);
    if (inCharge && inCharge.release !== pageRelease) (accepted ? hear.taken : hear.stale)(inCharge);
  };
  const offer = async () => {
    const waiting = registration.active && (await releaseOf(registration.waiting));
    if (waiting) waiting.release === pageRelease ? hear.withdrawn() : hear.ready(waiting);
  };
  const accept = async () => {
    if (!registration.waiting) return false;
    accepted = true;
    const reply = await ask(registration.waiting, { type: "take-over" }, TAKE_OVER_LIMIT_MS);
    accepted = reply?.type === "about";
    if (accepted && reply.release === pageRelease) hear.withdrawn();
    return accepted;
  };

  registration.addEventListener("updatefound", () => whenInstalled(registration.installing, offer));
  container.addEventListener("controllerchange", () => void compare());
  whenInstalled(registration.installing, offer);
  void offer();
  return { check: checker(registration), compare, accept };
}

/** Asks the server for a newer worker, at most every few minutes; a failure changes nothing and is nobody's news. @param {ServiceWorkerRegistration} registration */
function checker(registration) {
  let last = -CHECK_EVERY_MS;
  return () => {
    if (!registration.active || performance.now() - last < CHECK_EVERY_MS) return;
    last = performance.now();
    registration.update().catch(() => {});
  };
}

/** @param {ServiceWorker | null} worker @param {() => void} then */
function whenInstalled(worker, then) {
  worker?.addEventListener("statechange", () => worker.state === "installed" && then());
}

/** @param {ServiceWorker | null} worker @returns {Promise<Release | null>} */
async function releaseOf(worker) {
  const told = worker && (await ask(worker, { type: "about" }));
  return told?.type === "about" ? told : null;
}
