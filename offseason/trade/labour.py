"""Usual minutes of work for one piece, where a keeper has no timings yet, and how propolis behaves.

Every number is there to be overwritten by the keeper's own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from offseason.trade.limits import checked_celsius

_MEMORY = "from memory, not confirmed"
_ONE_KEEPER = "one keeper's own timings, not confirmed"
NAILS_PER_FRAME = 10  # seen only on a secondary page, not confirmed


@dataclass(frozen=True)
class UsualMinutes:
    """Minutes of one person for one piece, from ``quick`` to ``slow``, and how sure that is."""

    quick: float
    slow: float
    sure: str = _MEMORY

    @property
    def middle(self) -> float:
        """Half way between quick and slow: the one to plan with until there are own timings."""
        return (self.quick + self.slow) / 2


MINUTES_EACH: Mapping[str, UsualMinutes] = MappingProxyType(
    {
        "scrape a box": UsualMinutes(5, 10),
        "scrape a frame": UsualMinutes(1, 4),
        "repair a frame": UsualMinutes(3, 6),
        "paint a box, one coat": UsualMinutes(5, 8),
        "load or unload a freezer, one box": UsualMinutes(10, 10),
        "bag and label a box": UsualMinutes(3, 3),
        "hammer, wire and wax a new frame": UsualMinutes(4.8, 4.8, _ONE_KEEPER),
        "staple a new frame": UsualMinutes(0.75, 0.75, _ONE_KEEPER),
        "wire and wax a frame": UsualMinutes(1.5, 1.5, _ONE_KEEPER),
    }
)


def propolis_state(celsius: float) -> str:
    """``brittle`` up to 5 °C, ``hard`` up to 15 °C, ``firm`` up to 25 °C, ``soft`` above: scrape cold, paint warm.

    Source: 5, 15 and 25 °C seen only on a secondary page, not confirmed; the word firm is ours.
    """
    checked_celsius(celsius)
    return "brittle" if celsius <= 5 else "hard" if celsius <= 15 else "firm" if celsius <= 25 else "soft"
