"""How kinds may be reckoned with: a small algebra beside that of dimensions.

Two quantities can share a dimension and still not be the same kind: gauge and absolute pressure, a temperature and a rise, a
torque and an energy, turns a second and radians a second. Every formula is walked through once with these rules, so that such a
mix-up stops the build.

natures
  plain       no rule beyond the dimension; also what a product of other quantities is until a kind is declared for it
  gauge       pressure above the surrounding air; only gauge - gauge and gauge +- difference make sense, and gauge + site;
              it is never scaled and never turned round, since its nought is not nothing
  absolute    pressure above vacuum
  site        the surrounding air's own absolute pressure, the bridge between gauge and absolute
  difference  a pressure difference
  stress      force by area inside a solid
  reading     a temperature on a scale, in kelvin inside
  rise        a temperature difference
  torque, energy   the same dimension, never each other
  turns       turns a second; angular(turns) makes radians a second of it
  nought      the literal 0, which fits every nature but a reading
"""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from ..errors import FormulaError

PRESSURES = frozenset({"gauge", "absolute", "site", "difference", "stress"})
NATURES = PRESSURES | {"plain", "reading", "rise", "torque", "energy", "turns"}
# What a product with a bare number keeps.
_SCALABLE = frozenset({"absolute", "difference", "stress", "reading", "rise", "torque", "energy", "turns"})

Dimension = tuple[tuple[str, Fraction], ...]


class Sort(NamedTuple):
    """Dimension (sorted pairs of base quantity and exponent) and nature of an expression."""

    dimension: Dimension
    nature: str = "plain"

    @property
    def is_number(self) -> bool:
        return not self.dimension


NUMBER = Sort(())
NOUGHT = Sort((), "nought")

_DIFFERENCES = {
    ("gauge", "gauge"): "difference",
    ("absolute", "absolute"): "difference",
    ("absolute", "site"): "gauge",
    ("site", "site"): "difference",
    ("site", "absolute"): "difference",
    ("reading", "reading"): "rise",
    ("gauge", "difference"): "gauge",
    ("absolute", "difference"): "absolute",
    ("site", "difference"): "absolute",
    ("reading", "rise"): "reading",
}
_SUMS = {
    ("gauge", "difference"): "gauge",
    ("absolute", "difference"): "absolute",
    ("site", "difference"): "absolute",
    ("site", "gauge"): "absolute",
    ("reading", "rise"): "reading",
}
_MENDS = {
    "gauge": "Make it absolute first by adding the site pressure, or use difference(…) for its height above the surrounding air.",
    "reading": "Subtract two readings to get a difference.",
    "turns": "Use angular(…) where radians a second are meant.",
    "torque": "A torque is not an energy: torque * angular(speed) is a power, and that times a time is an energy.",
}


def added(left: Sort, right: Sort) -> Sort:
    """Sort of left + right. Raises FormulaError where the sum means nothing."""
    left, right = _same_dimension("adds", left, right)
    if right.nature in ("plain", "nought") or left.nature in ("plain", "nought"):
        return _with_plain(left, right)
    nature = _SUMS.get((left.nature, right.nature)) or _SUMS.get((right.nature, left.nature))
    if (
        nature is None
        and left.nature == right.nature
        and left.nature not in ("gauge", "absolute", "site", "reading")
    ):
        nature = left.nature
    return Sort(left.dimension, nature) if nature else _refuse("adds", left, right)


def subtracted(left: Sort, right: Sort) -> Sort:
    """Sort of left - right. Raises FormulaError where the difference means nothing."""
    left, right = _same_dimension("subtracts", left, right)
    if right.nature == "nought":
        return left
    if left.nature in ("plain", "nought"):
        turned = negated(right)
        return Sort(right.dimension, turned.nature)
    if right.nature == "plain":
        return left
    nature = _DIFFERENCES.get((left.nature, right.nature))
    if nature is None and left.nature == right.nature:
        nature = left.nature
    return Sort(left.dimension, nature) if nature else _refuse("subtracts", left, right)


def negated(sort: Sort) -> Sort:
    """Sort of -x: an absolute pressure or a reading turned round is no longer one. Raises FormulaError for a gauge pressure."""
    if sort.nature == "gauge":
        raise FormulaError("a gauge pressure is turned round with a minus.", _MENDS["gauge"])
    return Sort(sort.dimension) if sort.nature in ("absolute", "site", "reading") else sort


def multiplied(left: Sort, right: Sort, power: int = 1) -> Sort:
    """Sort of left * right, or of left / right with `power` -1."""
    for side in (left, right):
        if side.nature == "gauge":
            raise FormulaError("a gauge pressure is multiplied or divided.", _MENDS["gauge"])
    if {left.nature, right.nature} == {"torque", "turns"}:
        raise FormulaError("a torque is multiplied by turns a second.", _MENDS["turns"])
    exponents = dict(left.dimension)
    for base, exponent in right.dimension:
        exponents[base] = exponents.get(base, Fraction(0)) + power * exponent
    dimension = tuple(sorted((base, e) for base, e in exponents.items() if e))
    return Sort(dimension, _kept_nature(left, right, power))


def raised(base: Sort, exponent: Fraction | None) -> Sort:
    """Sort of base ** exponent; exponent is None when it is not a literal number."""
    if base.nature == "gauge":
        raise FormulaError("a gauge pressure is raised to a power.", _MENDS["gauge"])
    if base.is_number:
        return NUMBER
    if exponent is None:
        raise FormulaError(
            "a quantity with a unit is raised to a power that is not a plain number.",
            "Divide by a quantity of the same kind first.",
        )
    return Sort(tuple((b, e * exponent) for b, e in base.dimension if e * exponent))


def alike(what: str, left: Sort, right: Sort) -> Sort:
    """Sort shared by two sides that are compared or chosen between. Raises FormulaError when they are not of one kind."""
    left, right = _same_dimension(what, left, right)
    if left.nature in ("plain", "nought") and right.nature != "nought":
        return right
    if right.nature in ("plain", "nought") or left.nature == right.nature:
        return left
    if {left.nature, right.nature} == {"absolute", "site"}:
        return Sort(left.dimension, "absolute")
    return _refuse(what, left, right)


def check_declared(found: Sort, declared: Sort) -> None:
    """Raise FormulaError unless a formula of sort `found` may be declared as a kind of sort `declared`."""
    if found == NOUGHT and declared.nature != "reading":
        return
    if found.dimension != declared.dimension:
        raise FormulaError(
            f"the formula gives {spell(found.dimension)}, but the kind declared has {spell(declared.dimension)}.",
            "Correct the formula or the kind.",
        )
    fits = found.nature == declared.nature or (found.nature == "plain" and declared.nature != "gauge")
    bridge = (found.nature, declared.nature) in {
        ("absolute", "site"),
        ("site", "absolute"),
        ("difference", "stress"),
    }
    if not (fits or bridge):
        raise FormulaError(
            f"the formula gives {_article(found.nature)}, but the kind declared is {_article(declared.nature)}.",
            _MENDS.get(found.nature, _MENDS.get(declared.nature, "Correct the formula or the kind.")),
        )


def spell(dimension: Dimension) -> str:
    """A dimension in words for a message: 'mass · length⁻¹ · time⁻²', or 'a plain number'."""
    if not dimension:
        return "a plain number"
    return " · ".join(base if e == 1 else f"{base}^{e}" for base, e in dimension)


def _kept_nature(left: Sort, right: Sort, power: int) -> str:
    if right.is_number and left.nature in _SCALABLE | {"site"}:
        return "absolute" if left.nature == "site" else left.nature
    if left.is_number and power == 1 and right.nature in _SCALABLE | {"site"}:
        return "absolute" if right.nature == "site" else right.nature
    return "plain"


def _with_plain(left: Sort, right: Sort) -> Sort:
    nature = right.nature if left.nature in ("plain", "nought") else left.nature
    return Sort(left.dimension, "plain" if nature == "nought" else nature)


def _same_dimension(what: str, left: Sort, right: Sort) -> tuple[Sort, Sort]:
    if left.nature == "nought" and right.nature != "reading":
        return Sort(right.dimension, "nought"), right
    if right.nature == "nought" and left.nature != "reading":
        return left, Sort(left.dimension, "nought")
    if left.dimension != right.dimension:
        raise FormulaError(
            f"{what} {spell(left.dimension)} and {spell(right.dimension)}.",
            'Both sides need one dimension: divide or multiply first, as in "a * b / c".',
        )
    return left, right


def _refuse(what: str, left: Sort, right: Sort) -> Sort:
    mend = next(
        (_MENDS[n] for n in (left.nature, right.nature) if n in _MENDS),
        "Only quantities of one kind go together.",
    )
    raise FormulaError(f"{what} {_article(left.nature)} and {_article(right.nature)}.", mend)


def _article(nature: str) -> str:
    names = {
        "gauge": "a gauge pressure",
        "absolute": "an absolute pressure",
        "site": "a site pressure",
        "difference": "a pressure difference",
        "stress": "a stress",
        "reading": "a temperature reading",
        "rise": "a temperature difference",
        "torque": "a torque",
        "energy": "an energy",
        "turns": "turns a second",
    }
    return names.get(nature, "a plain quantity")
