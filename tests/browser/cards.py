"""What the tests of the job card share: a window with its modules at hand, and a card that has something of everything."""

from __future__ import annotations

from typing import Any

from browser.faults import FaultyServer
from playwright.sync_api import BrowserContext, Page

PLAIN = "/js/lib/number.js"  # a page of the same origin that touches no database

# Modules by short names, as the scripts of the tests say them; M() makes an action of a deed on a card in memory, where every sheet
# that the template needs is confirmed.
START = """async () => {
  const names = {store: 'store', list: 'job-list', ends: 'job-ends', rounds: 'job-rounds', shape: 'job-shape',
    cards: 'job-store', inUse: 'job-in-use', sheets: 'confirmed', file: 'job-file', fileShape: 'file-shape', json: 'json-text', csv: 'readings-csv', photos: 'photos', leads: 'leads'};
  for (const [short, name] of Object.entries(names)) window[short] = await import(`/js/lib/${name}.js`);
  const joined = {job: ['job', 'job-history', 'job-paths'], deeds: ['job-deeds', 'step-deeds', 'end-deeds', 'round-deeds']};
  for (const [short, all] of Object.entries(joined)) {
    window[short] = Object.assign({}, ...await Promise.all(all.map((name) => import(`/js/lib/${name}.js`))));
  }
  window.states = [];
  store.watchState((state) => states.push(state));
  window.number = 0;
  window.ALL = {confirmed: {'opening-a-fuel-line': 1, 'first-start': 1, fire: 1}, texts: new Map()};
  window.M = (card, deed, at = 1000, known = ALL) => deed ? job.act(card, {...deed, id: `act-${++number}`, at}, known) : card;
}"""

TEMPLATE = [
    {
        "title": "Take apart",
        "steps": [
            {"id": "relieve", "do": "Relieve the fuel pressure.", "needs": [{"id": "opening-a-fuel-line"}]},
            {"id": "rail", "do": "Take the rail off."},
            {"id": "plugs", "do": "Plug the ports."},
        ],
    },
    {
        "title": "First start",
        "steps": [
            {
                "id": "start",
                "do": "Start it.",
                "needs": [{"id": "first-start"}, {"id": "fire"}],
                "gate": "first-start",
            },
            {"id": "after", "do": "Look for leaks."},
        ],
    },
]

# A fresh card in `card`, made from the template above.
FRESH = """(stages) => {
  window.card = job.newJob({id: 'card-1', at: 500, name: 'Blower on the harbour wagon', template: 'blower', stages});
}"""

# A card with something of everything, some of it deleted or taken back, kept on the phone with two photos, and used.
FULL = """async (stages) => {
  let card = job.newJob({id: 'card-full', at: 500, name: 'Ä "card", =1+1 \\u202e \\ud800 \\n<b>', template: 'blower', stages});
  const all = [
    deeds.begin(card, 'rail', 900),
    deeds.addStep(card, 'own-1', {stage: 'stage-1', title: 'My own step', after: 'relieve'}),
    deeds.addStage(card, 'own-2', 'My own stage'),
    deeds.openEnd(card, 'end-1', {step: 'plugs', kind: 'rag', place: 'left bank', count: 3}, 1000),
    deeds.openEnd(card, 'end-2', {step: 'rail', kind: 'own', words: 'hose hangs free', size: 'M8', bag: '3'}, 1100),
    deeds.addEntry(card, 'entry-1', {step: 'rail', sort: 'reading', label: 'Rail pressure', value: '43.5', unit: 'psi'}, 1200),
    deeds.addEntry(card, 'entry-2', {step: 'rail', sort: 'manual', label: 'Rail bolts', value: '13', unit: 'lbf·ft', page: '4-17'}, 1300),
    deeds.addEntry(card, 'entry-3', {sort: 'part', label: 'Gasket', value: 'ZX-81'}, 1400),
    deeds.keepAnswer(card, 'kept-1', {step: 'rail', figure: 'injector-flow', title: 'Injector flow', query: 'a=1&b=%20', answer: '310 cc/min'}, 1500),
    deeds.addRound(card, 'round-1', {step: 'rail', label: 'Manifold', pattern: 'rows', across: 5, down: 2, torque: '13 lbf·ft', page: '5-2',
      shares: [0.3, 0.7, 1], adapter: {length: '18 in', offset: '3 in', angle: '0°', setting: '11.1 lbf·ft'}}, 1600),
  ];
  for (const deed of all) card = M(card, deed);
  card = M(card, deeds.closeEnd(card, 'end-1', 1700, 2));
  card = M(card, deeds.closeEnd(card, 'end-2', 1800));
  card = M(card, deeds.markBolt(card, 'round-1', 0, 3, 1900, 10));
  card = M(card, deeds.tick(card, 'rail', 2000));
  card = M(card, deeds.remove(card, 'entries', 'entry-3', 2100));
  card = M(card, deeds.writeNote(card, 'rail', 'a note', {base: '', other: 'beside-1'}));
  card = M(card, deeds.writeNote(card, 'rail', 'another note', {base: '', other: 'beside-2'}));
  card = job.undo(card, job.lastAction(card).id, 2200).job;
  card = M(card, deeds.interruption(card, 2300));
  await cards.addJob(card);
  await store.write([{store: 'setups', key: 'set-1', change: () => ({id: 'set-1', name: 'Wagon', made: 3, values: {engine_size: '3.4 L'}})},
    {store: 'kept', key: 'setup', change: () => 'set-1'}, {store: 'kept', key: 'emergency', change: () => ({number: '112'})}]);
  for (const [width, words] of [[60, 'the rail'], [30, 'its bolts']]) {
    const canvas = Object.assign(document.createElement('canvas'), {width, height: 20});
    canvas.getContext('2d').fillRect(0, 0, 9, 9);
    const made = await photos.prepare(await new Promise((done) => canvas.toBlob(done)));
    window.photo = (await photos.addPhoto('card-full', made.picture, {step: 'rail', words})).photo;
  }
}"""

# All that is on the phone, as text that can be compared: pictures by their bytes.
EVERYTHING = """async () => {
  const all = {};
  for (const name of ['jobs', 'setups', 'kept', 'photos', 'confirmed']) {
    all[name] = {};
    for (const [key, value] of [...await store.readAll(name)].sort(([one], [other]) => one < other ? -1 : 1)) {
      const {blob, ...rest} = name === 'photos' ? value : {};
      all[name][key] = blob ? {...rest, blob: fileShape.base64Of(new Uint8Array(await blob.arrayBuffer())), kind: blob.type} : value;
    }
  }
  return JSON.stringify(all);
}"""


def opened(context: BrowserContext, host: FaultyServer, before: str = "") -> Page:
    """A window with the modules at hand; `before` runs before any script of the page."""
    page = context.new_page()
    if before:
        page.add_init_script(before)
    page.goto(host.origin + PLAIN)
    page.evaluate(START)
    return page


def everything(page: Page) -> str:
    found: str = page.evaluate(EVERYTHING)
    return found


def exported(page: Page, ids: list[str] | None = None) -> str:
    """The text of an export."""
    found: str = page.evaluate("async (ids) => (await file.makeFile(ids, 5000)).blob.text()", ids)
    return found


def looked_at(page: Page, text: str) -> Any:
    """What the check of a file says: [] when it is right, else the problems."""
    return page.evaluate(
        "async (text) => (await file.readFile(new Blob([text]))).problems ?? []",
        text,
    )


def imported(page: Page, text: str, way: str = "merge") -> Any:
    """Brings a right file in; gives the plan without what it would write, and the outcome."""
    return page.evaluate(
        """async ([text, way]) => {
          const read = await file.readFile(new Blob([text]));
          if (!read.ok) return {problems: read.problems};
          const {puts, ...plan} = await file.planned(read, way);
          return {plan, outcome: await file.doImport({puts}, 6000)};
        }""",
        [text, way],
    )
