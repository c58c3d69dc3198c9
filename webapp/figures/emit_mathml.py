"""MathML of a formula for 'show the working', from the writer's own form of it.

Words inside a formula are left as {math_if}, {math_and} and so on, for the site to fill in from the words of its language.
Every symbol carries its name in `data-symbol`, so that a second copy can show the numbers put in, on the server and on the phone.
"""

from __future__ import annotations

import ast
from html import escape

_SIGNS = {
    ast.Lt: "&lt;",
    ast.LtE: "≤",
    ast.Gt: "&gt;",
    ast.GtE: "≥",
    ast.Eq: "=",
    ast.NotEq: "≠",
    ast.Add: "+",
    ast.Sub: "−",
}
# How tightly a form holds together; one that is looser than its place asks for stands in brackets.
_CHOICE, _OR, _AND, _COMPARE, _SUM, _PRODUCT, _ATOM = range(7)


def mathml(name: str, tree: ast.expr) -> str:
    """<math> of `name = formula`; `name` '' for a formula that stands alone."""
    left = _symbol(name) + "<mo>=</mo>" if name else ""
    return f"<math><mrow>{left}{_draw(tree)}</mrow></math>"


def mathml_cases(name: str, rows: list[tuple[ast.expr | None, ast.expr]]) -> str:
    """<math> of a formula with a condition a row."""
    drawn = "".join(
        f"<mtr><mtd>{_draw(value)}</mtd><mtd>{_branch(condition)}</mtd></mtr>" for condition, value in rows
    )
    return f"<math><mrow>{_symbol(name)}<mo>=</mo><mo>{{</mo><mtable>{drawn}</mtable></mrow></math>"


def _branch(condition: ast.expr | None) -> str:
    return "<mtext>{math_if}</mtext>" + _draw(condition) if condition else "<mtext>{math_else}</mtext>"


def _symbol(name: str) -> str:
    return f'<mi data-symbol="{escape(name)}">{escape(name.replace("_", " ").replace(".", " "))}</mi>'


def _draw(node: ast.expr, tightness: int = 0) -> str:
    text, own = _drawn(node)
    return f"<mrow><mo>(</mo>{text}<mo>)</mo></mrow>" if own < tightness else text


def _drawn(node: ast.expr) -> tuple[str, int]:
    if isinstance(node, ast.Constant):
        return f"<mn>{escape(repr(node.value))}</mn>", _ATOM
    if isinstance(node, ast.Name):
        return ("<mi>π</mi>" if node.id == "pi" else _symbol(node.id)), _ATOM
    if isinstance(node, ast.Attribute):
        return _symbol(ast.unparse(node)), _ATOM
    if isinstance(node, ast.BinOp):
        return _operation(node)
    if isinstance(node, ast.UnaryOp):
        return _signed(node)
    if isinstance(node, ast.Compare):
        sides = (_draw(side, _SUM) for side in (node.left, node.comparators[0]))
        return f"<mrow>{f'<mo>{_SIGNS[type(node.ops[0])]}</mo>'.join(sides)}</mrow>", _COMPARE
    if isinstance(node, ast.BoolOp):
        word, own = ("{math_and}", _AND) if isinstance(node.op, ast.And) else ("{math_or}", _OR)
        return f"<mtext>{word}</mtext>".join(_draw(value, own) for value in node.values), own
    if isinstance(node, ast.IfExp):
        body, test, other = _draw(node.body, _SUM), _draw(node.test), _draw(node.orelse)
        return (
            f"<mrow>{body}<mtext>{{math_if}}</mtext>{test}<mtext>{{math_else}}</mtext>{other}</mrow>",
            _CHOICE,
        )
    assert isinstance(node, ast.Call)
    return _call(node)


def _signed(node: ast.UnaryOp) -> tuple[str, int]:
    if isinstance(node.op, ast.UAdd):
        return _drawn(node.operand)
    if isinstance(node.op, ast.Not):
        return f"<mrow><mtext>{{math_not}}</mtext>{_draw(node.operand, _PRODUCT)}</mrow>", _AND
    return f"<mrow><mo>−</mo>{_draw(node.operand, _PRODUCT)}</mrow>", _SUM


def _operation(node: ast.BinOp) -> tuple[str, int]:
    if isinstance(node.op, ast.Div):
        return f"<mfrac><mrow>{_draw(node.left)}</mrow><mrow>{_draw(node.right)}</mrow></mfrac>", _PRODUCT
    if isinstance(node.op, ast.Pow):
        return f"<msup>{_draw(node.left, _ATOM)}<mrow>{_draw(node.right)}</mrow></msup>", _PRODUCT
    if isinstance(node.op, ast.Mult):
        return f"{_draw(node.left, _PRODUCT)}<mo>·</mo>{_draw(node.right, _PRODUCT)}", _PRODUCT
    right = _PRODUCT if isinstance(node.op, ast.Sub) or isinstance(node.right, ast.UnaryOp) else _SUM
    return f"{_draw(node.left, _SUM)}<mo>{_SIGNS[type(node.op)]}</mo>{_draw(node.right, right)}", _SUM


def _call(node: ast.Call) -> tuple[str, int]:
    name = ast.unparse(node.func)
    if name == "sqrt":
        return f"<msqrt>{_draw(node.args[0])}</msqrt>", _ATOM
    if name == "difference":
        return _drawn(node.args[0])
    if name == "angular":
        return (
            f"<mrow><mn>2</mn><mo>·</mo><mi>π</mi><mo>·</mo>{_draw(node.args[0], _PRODUCT)}</mrow>",
            _PRODUCT,
        )
    if name == "total":
        counter, first, last, term = node.args
        below = f"<mrow>{_draw(counter)}<mo>=</mo>{_draw(first)}</mrow>"
        return (
            f"<mrow><munderover><mo>∑</mo>{below}<mrow>{_draw(last)}</mrow></munderover>{_draw(term, _PRODUCT)}</mrow>",
            _SUM,
        )
    inside = "<mo>,</mo>".join(_draw(argument) for argument in node.args)
    return f"<mrow><mi>{escape(name)}</mi><mo>(</mo>{inside}<mo>)</mo></mrow>", _ATOM
