/** What follows an answer: the first job in the answer's own frame, the others behind it, one a task. A key typed meanwhile waits for one of them at most. */

export class Turns {
  /** @param {...() => void} jobs  in the order in which they take turns */
  constructor(...jobs) {
    this.jobs = jobs;
    /** @type {Set<number>} numbers of the jobs that are to be done */
    this.due = new Set();
    this.last = -1;
    this.isOn = false;
  }

  /** All jobs are to be done, each once, however often it is asked for before its turn comes: whoever types fast still sees all of them. */
  ask() {
    for (const n of this.jobs.keys()) this.due.add(n);
    if (this.isOn) return;
    this.isOn = true;
    requestAnimationFrame(() => {
      this.last = -1;
      this.turn();
    });
  }

  turn() {
    const count = this.jobs.length;
    const next = [...this.jobs.keys()].map((n) => (this.last + 1 + n) % count).find((n) => this.due.has(n));
    if (next === undefined) {
      this.isOn = false;
      return;
    }
    this.due.delete(next);
    this.last = next;
    soon(() => this.turn());
    this.jobs[next]();
  }
}

/** @type {(() => void)[]} what is to be done in a task of its own each, in this order */
const waiting = [];
/** Messages come without the wait that nested timers have. One channel for all: making one takes longer than posting. */
const { port1, port2 } = new MessageChannel();
port1.onmessage = () => waiting.shift()?.();

/** In a task of its own. @param {() => void} act */
function soon(act) {
  waiting.push(act);
  port2.postMessage(null);
}
