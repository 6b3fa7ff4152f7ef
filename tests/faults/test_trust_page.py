"""The page on trust says what the runs have found, and nothing that they have not."""

from __future__ import annotations

import pytest

from tests.tools.trust_page import PAGE, kept, page

ONE = {
    "what": "a full disk",
    "command": "python x.py",
    "tried": 1_234,
    "losses": 5,
    "seconds": 61,
    "when": "2026-11-27",
}


def test_the_page_holds_the_figures_that_the_runs_kept():
    assert PAGE.read_text(encoding="utf-8") == page(kept())


def test_figures_and_losses_are_shown_as_they_are_and_added_up():
    told = page([ONE, {**ONE, "what": "a disk that can only be read", "losses": 2}])
    assert "| a full disk | 1,234 | 5 | 61 s | 2026-11-27 | `python x.py` |" in told
    assert "| **in all** | **2,468** | **7** |" in told


def test_figures_of_a_run_that_the_page_does_not_know_are_not_left_out_in_silence():
    with pytest.raises(ValueError, match="nothing is said of: something new"):
        page([{**ONE, "what": "something new"}])


def test_what_was_not_run_is_called_so():
    told = page([ONE])
    assert "**Not run yet:** a disk that" in told
    assert "**Not run yet:** too little memory" in told
    assert "**Not run yet:** a full disk" not in told


def test_commands_that_a_run_left_out_are_named():
    told = page([{**ONE, "what": "killed at each call that writes: plan"}])
    assert "**Not run yet:** killed at each call that writes: carry-over, " in told
    assert "plan-over, " in told
