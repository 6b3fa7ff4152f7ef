"""Money as it is read: cents where they count, and the name of the money where the keeper gave it one."""

from __future__ import annotations


def money_text(amount: float, money: str = "", *, whole: bool = False) -> str:
    """``12.40 EUR``, ``1,240.00``; ``whole``: without cents, as a total is read. Never ``-0``."""
    places = 0 if whole else 2
    return f"{round(amount, places) + 0.0:,.{places}f} {money}".rstrip()
