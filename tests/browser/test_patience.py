"""A browser that does not answer fails one test and holds up nothing."""

from __future__ import annotations

import pytest
from browser import patience
from playwright.sync_api import BrowserContext


def test_a_promise_that_is_never_kept_fails_its_test(
    phone: BrowserContext, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = phone.new_page()
    monkeypatch.setattr(patience, "call_seconds", 0.5)
    with pytest.raises(AssertionError, match="no answer to evaluateExpression"):
        page.evaluate("() => new Promise(() => {})")
    monkeypatch.undo()
    assert page.evaluate("1 + 1") == 2
