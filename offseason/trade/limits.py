"""Which numbers can be meant at all: a reading that no place has is refused in a sentence, never calculated with."""

from __future__ import annotations

LOWEST_CELSIUS, HIGHEST_CELSIUS = -60.0, 60.0


def checked_celsius(celsius: float) -> float:
    """The temperature in °C as given, or a ValueError where no place on earth has it (the bounds are ours)."""
    if not LOWEST_CELSIUS <= celsius <= HIGHEST_CELSIUS:
        raise ValueError(
            f"{celsius} °C is not a temperature a place has; "
            f"give degrees Celsius between {LOWEST_CELSIUS:.0f} and {HIGHEST_CELSIUS:.0f}."
        )
    return celsius


def checked_humidity_percent(humidity_percent: float) -> float:
    """The relative humidity in per cent as given, or a ValueError where it is not from 0 to 100."""
    if not 0 <= humidity_percent <= 100:
        raise ValueError(f"{humidity_percent} % is not a relative humidity; give a per cent from 0 to 100.")
    return humidity_percent


def checked_amount(amount: float, what: str) -> float:
    """The amount as given, or a ValueError where it is below 0 or no number; ``what`` begins the sentence."""
    if not 0 <= amount < float("inf"):
        raise ValueError(f"{what} cannot be {amount}; give a number from 0 up.")
    return amount
