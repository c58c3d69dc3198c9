/**
 * The page's one connection to its service worker. No DOM.
 * Nothing here throws: a browser without workers, or one that refuses them, gives a `problem`.
 *
 * @typedef {{registration: ServiceWorkerRegistration} | {problem: "not_allowed" | "no_answer"}} Link
 */

/** @type {Promise<Link> | null} */
let link = null;
/** @type {ServiceWorkerRegistration | null} */
let registration = null;

/** The worker that answers this page's requests or could, null before the first one is ready. */
export function activeWorker() {
  return registration?.active ?? null;
}

/** The browser's worker container, null where there is none. Reading it alone throws in some sandboxed windows. */
export function workerContainer() {
  try {
    return navigator.serviceWorker ?? null;
  } catch {
    return null;
  }
}

/**
 * The registration of the site at `root`, found or made once for all who ask; again after a refusal or a failed first save.
 * @param {string} root  absolute address of the site's root, ending in "/"
 * @returns {Promise<Link>}
 */
export async function connect(root) {
  const asked = link;
  const known = asked && (await asked);
  if (known && "registration" in known && hasWorker(known.registration)) return known;
  // Of several who wait for the same refusal, the first one asks again and the others join it.
  if (link === asked) link = find(root);
  return /** @type {Promise<Link>} */ (link);
}

/** @param {ServiceWorkerRegistration} registration */
function hasWorker({ active, waiting, installing }) {
  return Boolean(active ?? waiting ?? installing);
}

/** @param {string} root @returns {Promise<Link>} */
async function find(root) {
  const container = workerContainer();
  if (typeof container?.register !== "function") return { problem: "not_allowed" };
  try {
    registration = (await existing(container, root)) ?? (await register(container, root));
    return { registration };
  } catch (error) {
    // A worker's file that does not come is a TypeError; all else is the browser's own refusal.
    return { problem: error instanceof TypeError ? "no_answer" : "not_allowed" };
  }
}

/**
 * Asked first: registering queues behind the browser's own look for a newer worker, which hangs as long as the server does.
 * @param {ServiceWorkerContainer} container
 * @param {string} root
 */
async function existing(container, root) {
  const found = await container.getRegistration(root);
  return found?.active && found.scope === root ? found : null;
}

/** @param {ServiceWorkerContainer} container @param {string} root */
function register(container, root) {
  return container.register(new URL("sw.js", root), { scope: root, updateViaCache: "none" });
}

/**
 * Sends a worker a message and waits for its answer.
 * @param {ServiceWorker} target
 * @param {{type: string, language?: string}} message
 * @param {number} limitMs
 * @returns {Promise<any>}  the answer; null when none came within the limit
 */
export function ask(target, message, limitMs = 20000) {
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    const end = (/** @type {any} */ reply) => {
      clearTimeout(timer);
      port1.close();
      resolve(reply);
    };
    const timer = setTimeout(() => end(null), limitMs);
    port1.onmessage = (event) => end(event.data);
    try {
      target.postMessage(message, [port2]);
    } catch {
      end(null); // the worker was thrown away between two lines of ours
    }
  });
}
