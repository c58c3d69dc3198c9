"""A small complete content folder, made of the texts below; a test changes one of them and looks at what the reader says."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from webapp.binding import FIGURE_PARTS, build_book
from webapp.content.job_records import END_KINDS, LISTS
from webapp.content.other_files import PARTS as CAUTION_PARTS
from webapp.errors import ContentError

UNITS = """---
title: Units
kinds:
  gauge pressure: {title: gauge pressure, sort: gauge, nature: gauge, units: [kPa, psi]}
  absolute pressure: {title: absolute pressure, sort: absolute, nature: absolute, units: [kPa, psi], spellings: {psi: [psia]}}
  site pressure: {title: site pressure, sort: absolute, nature: site, units: [kPa, psi]}
  pressure difference: {title: pressure difference, sort: difference, nature: difference, units: [kPa, psi]}
  temperature: {title: temperature, sort: reading, nature: reading, units: [°C, K]}
  temperature difference: {title: temperature difference, sort: difference, nature: rise, units: [ΔK]}
  torque: {title: torque, nature: torque, units: [N·m, lbf·ft]}
  energy: {title: energy, nature: energy, units: [J]}
  engine speed: {title: engine speed, nature: turns, units: [rpm]}
  power: {title: power, units: [W]}
  volume flow: {title: volume flow, units: [cc/min, L/h]}
  length: {title: length, units: [mm, in]}
  time: {title: time, units: [s]}
  density: {title: density, units: [kg/m³]}
  ratio: {title: ratio, units: ["×", "%"]}
  share: {title: share, units: ["%", "×"]}
  count: {title: count, units: ["×1"]}
units:
  kPa: {is: kilopascal, spoken: kilopascals}
  psi: {is: pound_force_per_square_inch, names: [lbf/in²]}
  °C: {is: degree_Celsius, names: [degC]}
  K: {is: kelvin}
  ΔK: {symbol: K, is: kelvin}
  N·m: {is: newton * meter, names: [Nm]}
  lbf·ft: {is: force_pound * foot, names: [lb ft]}
  J: {is: joule}
  rpm: {is: 1 / minute}
  W: {is: watt}
  cc/min: {is: centimeter ** 3 / minute, names: [cc]}
  L/h: {is: liter / hour}
  mm: {is: millimeter}
  in: {is: inch}
  s: {is: second}
  kg/m³: {is: kilogram / meter ** 3}
  "×": {is: "1", names: [x, ""]}
  "%": {is: percent}
  "×1": {symbol: "", is: "1", names: [""]}
asked:
  gal: [L/h]
---
The units of the tests.
"""

FIGURE = """---
title: Orifice
summary: Flow at another pressure.
part: fuel
order: 1
takes:
  rated_flow: {label: Rated flow, kind: volume flow, in: cc/min, value: 310, from: 20, to: 5000, accuracy: 3 %}
  rated_drop: {label: Rated at, kind: pressure difference, in: kPa, value: 300, from: 50, to: 1200}
  rail: {label: Rail pressure, kind: gauge pressure, in: kPa, value: 300, from: 0, to: 1000, accuracy: 1.5 % of 700 kPa}
  manifold: {label: Manifold pressure, kind: gauge pressure, in: kPa, value: 0, from: -100, to: 300, accuracy: 2 kPa}
  site: {label: Air pressure, kind: site pressure, in: kPa, value: 100, from: 60, to: 110}
  turns: {label: Engine speed, kind: engine speed, in: rpm, value: 3000, from: 0, to: 9000}
  twist: {label: Torque, kind: torque, in: N·m, value: 20, from: 0, to: 200}
  charge: {label: Charge temperature, kind: temperature, in: °C, value: 40, from: -40, to: 150}
  outside: {label: Air temperature, kind: temperature, in: °C, value: 20, from: -40, to: 60}
  fuel: {label: Fuel, choose: fuels, value: petrol}
  thickness: {label: Density, kind: density, in: kg/m³, value: fuel.density, from: 600, to: 900}
constants:
  half: {label: A half, kind: ratio, value: "0.5", source: made up}
gives:
  drop:
    {label: Pressure across, kind: pressure difference, in: kPa, formula: rail - manifold}
  flow:
    {label: Flow, kind: volume flow, in: cc/min, formula: rated_flow * sqrt(drop / rated_drop), first: true}
refuse:
  - when: drop <= 0
    say: "Manifold {manifold} stands at or above rail {rail}."
warn:
  - when: drop < half * rated_drop
    say: "Only {drop} across."
needs: [hot]
related: []
assumes:
  - A fixed orifice.
sources:
  - Made up for a test.
checks:
  - {given: {rail: 300 kPa}, expect: {flow: 310 cc/min}, within: 0.1 %, source: by hand}
---
Some text, and a link to [the sheet](cautions/hot).

## When to use it

Often.
"""

CAUTION = """---
title: Hot parts
order: 1
signal: WARNING
says: Let it cool.
signs: [W017]
can_happen:
  - {say: It burns., from: [own]}
have_ready:
  - {say: Water., from: [own]}
do_first:
  - {say: Wait., from: [own]}
never:
  - {say: Never touch it., from: [own]}
goes_wrong:
  - {say: Cool the burn., from: [own, book]}
clean_up:
  - {say: Nothing., from: [own]}
sources:
  own: {name: Our own judgement, basis: own}
  book: {name: A book, basis: memory}
---
"""

TABLE = """---
title: Fuels
summary: What fuels weigh.
order: 1
columns:
  name: {label: Name}
  density: {label: Density, kind: density, in: kg/m³}
needs: []
sources: [Made up for a test.]
---
Before the table.

| id | name | density |
|---|---|---|
| petrol | Petrol | 740 |
| unknown | Unknown | — |

## Behind the table

See [the sheet](cautions/hot).
"""

EMERGENCY = """---
title: If it goes wrong
says: Out first.
numbers:
  - {label: Emergency, number: "112", where: EU}
parts:
  - id: fire
    title: Fire
    steps:
      - {say: Shout., from: [own]}
sources:
  own: {name: Our own judgement, basis: own}
---
"""

_WORDS = [f"part_{part}" for part in FIGURE_PARTS] + [f"caution_{part}" for part in CAUTION_PARTS]
_WORDS += [f"job_end_{kind}" for kind in END_KINDS] + [f"job_{name}" for name in LISTS]
_WORDS += ["sign_W017", "sort_gauge", "sort_absolute", "sort_difference", "sort_reading"]
WORDS = (
    "---\nwords:\n" + "".join(f"  {key}: Some words\n" for key in _WORDS) + "---\nThe words of the tests.\n"
)
PAGE = "---\ntitle: A page\nsummary: About something.\n---\nSome text.\n"

TEXTS = {
    "units.md": UNITS,
    "figures/orifice.md": FIGURE,
    "cautions/hot.md": CAUTION,
    "tables/fuels.md": TABLE,
    "help/typing.md": PAGE,
    "words/common.md": WORDS,
    "emergency.md": EMERGENCY,
    "glossary.md": PAGE,
    "changes.md": PAGE.replace("summary:", "version:"),
}


class SmallContent:
    """The folder, with ways to change it and to hear what is wrong with it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        for name, text in TEXTS.items():
            self.write(name, text)

    def write(self, name: str, text: str) -> None:
        path = self.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")

    def text(self, name: str) -> str:
        return (self.folder / name).read_text(encoding="utf-8")

    def change(self, name: str, old: str, new: str) -> None:
        """Put `new` in the place of `old`, which must stand there exactly once."""
        text = self.text(name)
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {name}"
        self.write(name, text.replace(old, new))

    def line(self, name: str, part: str) -> int:
        """Number of the one line that holds `part`."""
        found = [number for number, line in enumerate(self.text(name).split("\n"), 1) if part in line]
        assert len(found) == 1, f"{part!r} stands on lines {found} of {name}"
        return found[0]

    def book(self) -> Any:
        return build_book(self.folder)

    def problems(self) -> list[str]:
        """Every problem of the folder as its writer reads it; there must be one."""
        with pytest.raises(ContentError, match=r"^content/") as caught:
            build_book(self.folder)
        return str(caught.value).split("\n")

    def expect(self, name: str, part: str, *sentences: str) -> None:
        """The folder's problems are these sentences and no others, each at the line of `name` that holds `part`."""
        place = f"content/{name}:{self.line(name, part)}: "
        assert self.problems() == sorted(place + sentence for sentence in sentences)

    def formula(self, formula: str, kind: str = "ratio", unit: str = "×") -> None:
        """Give the Figure one more answer with this formula, on the line of `asked_for`."""
        self.change(
            "figures/orifice.md",
            "refuse:\n",
            f"  asked_for: {{label: Asked for, kind: {kind}, in: {unit}, formula: {_quoted(formula)}}}\nrefuse:\n",
        )


def _quoted(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
