/**
 * What follows an answer: the first job in the answer's own frame, the others behind it, one a task. A key typed meanwhile waits for one
 * of them at most. What nobody sees waits until it is scrolled to, or until the typing pauses.
 */

export class Turns {
  /** @param {...[() => void, ...(Element | null)[]]} jobs  in the order in which they take turns, each with the elements that show it */
  constructor(...jobs) {
    this.jobs = jobs;
    /** @type {Set<number>} numbers of the jobs that are to be done */
    this.due = new Set();
    /** @type {Set<Element | null>} until the browser tells, all counts as seen */
    this.unseen = new Set();
    this.last = -1;
    this.isOn = false;
    /** Whether what is out of sight has its turn too. */
    this.isPause = false;
    if (typeof IntersectionObserver === "function") this.watch();
  }

  watch() {
    const watcher = new IntersectionObserver((changes) => {
      for (const { target, isIntersecting } of changes) this.unseen[isIntersecting ? "delete" : "add"](target);
      this.begin();
    });
    for (const element of this.jobs.flatMap(([, ...shown]) => shown)) if (element) watcher.observe(element);
  }

  /** All jobs are to be done, each once, however often it is asked for before its turn comes: whoever types fast still sees all of them. */
  ask() {
    for (const n of this.jobs.keys()) this.due.add(n);
    this.isPause = false;
    this.begin();
  }

  /** The typing pauses: what was out of sight follows. */
  rest() {
    this.isPause = true;
    this.begin();
  }

  begin() {
    if (this.isOn || this.next() === undefined) return;
    this.isOn = true;
    requestAnimationFrame(() => {
      this.last = -1;
      if (this.next() === 0) this.turn();
      else soon(() => this.turn());
    });
  }

  turn() {
    const next = this.next();
    if (next === undefined) {
      this.isOn = false;
      return;
    }
    this.due.delete(next);
    this.last = next;
    soon(() => this.turn());
    this.jobs[next][0]();
  }

  /** Number of the job whose turn it is, undefined while there is none. */
  next() {
    const { jobs, last } = this;
    return [...jobs.keys()].map((n) => (last + 1 + n) % jobs.length).find((n) => this.due.has(n) && (this.isPause || this.isSeen(n)));
  }

  /** @param {number} n */
  isSeen(n) {
    return this.jobs[n].slice(1).some((element) => element && !this.unseen.has(/** @type {Element} */ (element)));
  }
}

/** @type {(() => void)[]} what is to be done in a task of its own each, in this order */
const waiting = [];
/** Messages come without the wait that nested timers have. One channel for all: making one takes longer than posting. */
const { port1, port2 } = new MessageChannel();
port1.onmessage = () => waiting.shift()?.();

/** In a task of its own. @param {() => void} act */
export function soon(act) {
  waiting.push(act);
  port2.postMessage(null);
}
