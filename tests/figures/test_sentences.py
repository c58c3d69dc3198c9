"""How a sentence repeats a number that was typed."""

from __future__ import annotations

from typing import Any

import pytest

from webapp.figures.present import present


@pytest.mark.parametrize(
    ("typed", "said"),
    [("-0", "0 psi"), ("-0,0 psi", "0,0 psi"), ("−0/4 psi", "0/4 psi"), ("-3 psi", "−3 psi")],
)
def test_a_typed_nought_has_no_sign_in_a_sentence(book: Any, typed: str, said: str) -> None:
    view = present(book, "en", book.figures["injector-flow"], {"rail": typed})
    assert view["sentence"].startswith(f"Rail pressure {said} is below 5 psi")
