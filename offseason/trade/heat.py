"""Killing wax moths by warmth: for empty dry comb only, and only just below where comb sags."""

from __future__ import annotations

from offseason.trade.limits import checked_celsius

# Seen only on a secondary page, not confirmed. °C -> minutes.
_KILL_MINUTES = ((49.0, 40.0), (46.0, 80.0))
HIGHEST_CELSIUS = 49.0  # never above, the same page
WAX_SAGS_CELSIUS = 40.0  # about; the same page
WAX_MELTS_CELSIUS = (62.0, 64.0)  # the same page


def heat_kill_minutes(celsius: float) -> float | None:
    """Minutes at that comb temperature in °C after which moths of all stages are dead; None: not warm enough.

    80 min from 46 °C, 40 min at 49 °C. Source: seen only on a secondary page, not confirmed. Wax sags from about
    40 °C: empty dry comb standing upright, nothing else.
    Errors: ValueError above 49 °C, where comb is lost.
    """
    if celsius > HIGHEST_CELSIUS:
        raise ValueError(f"Comb is lost at {celsius:g} °C; never go above {HIGHEST_CELSIUS:.0f} °C.")
    return next((minutes for warm, minutes in _KILL_MINUTES if checked_celsius(celsius) >= warm), None)
