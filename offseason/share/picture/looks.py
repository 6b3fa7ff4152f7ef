"""How fit and unfit hours look: dark where work is possible, pale with a pattern of its own for each reason why not.

Dark against pale and the patterns tell them apart in grey print and to eyes that see colours otherwise; the tints only
help.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from offseason.share.fit_days import NOT_BY_HAND
from offseason.share.picture.svg import LINE, element
from offseason.weather.judge import Reason

TILE = 8


@dataclass(frozen=True)
class Look:
    """What hours of a kind look like: ``paper`` all over, and ``hatch`` in ``ink``, a path in a tile of 8 by 8."""

    name: str
    words: str
    paper: str
    ink: str = ""
    hatch: str = ""

    @property
    def fill(self) -> str:
        """The value of ``fill`` that paints it."""
        return f"url(#{self.name})" if self.hatch else self.paper

    def pattern(self) -> str:
        """Its definition, where it has a hatch."""
        if not self.hatch:
            return ""
        tile = element("rect", width=TILE, height=TILE, fill=self.paper)
        strokes = element("path", d=self.hatch, stroke=self.ink, stroke_width=1, fill="none")
        return element("pattern", tile, strokes, id=self.name, width=TILE, height=TILE, patternUnits="userSpaceOnUse")


FIT = Look("fit", "fit for the work", "#0b2a21")
COLD = Look("cold", "too cold, or in the hours after", "#dcebf7")
WARM = Look("warm", "too warm", "#fdeedd", "#b0722f", "M1 0v8M5 0v8")
DAMP = Look("damp", "too damp, near the dew point, wet wood", "#eef3e4", "#66803d", "M1 1h2v1h-2zM5 5h2v1h-2z")
RAIN = Look("rain", "rain, or in the hours after", "#e4e9f2", "#5b7299", "M-1 1l2 -2M-1 9l10 -10M7 9l2 -2")
WIND = Look("wind", "too windy", "#f3ebf5", "#93699c", "M0 2h8M0 6h8")
UNKNOWN = Look("unknown", "not known", "#ffffff", "#858585", "M0 0l8 8M8 0l-8 8")
BY_HAND = Look("by-hand", "not among the hours given by hand", "#ffffff", "#858585", "M0 0h8M0 0v8")

LOOKS = (FIT, COLD, WARM, DAMP, RAIN, WIND, BY_HAND, UNKNOWN)
"""In the order of the legend."""

LOOK_OF: Mapping[int, Look] = MappingProxyType(
    {
        NOT_BY_HAND: BY_HAND,
        Reason.FIT: FIT,
        Reason.UNKNOWN: UNKNOWN,
        Reason.TOO_COLD: COLD,
        Reason.TOO_WARM: WARM,
        Reason.TOO_DAMP: DAMP,
        Reason.NEAR_DEW_POINT: DAMP,
        Reason.RAIN: RAIN,
        Reason.TOO_WINDY: WIND,
        Reason.WET_WOOD: DAMP,
        Reason.COLD_AFTER: COLD,
        Reason.RAIN_AFTER: RAIN,
        Reason.UNKNOWN_AFTER: UNKNOWN,
    }
)
"""The look of each reason."""


def swatch(look: Look, x: float, y: float, width: float, height: float) -> str:
    """A small piece of it for the legend, with a line around."""
    return element("rect", x=x, y=y, width=width, height=height, fill=look.fill, stroke=LINE)
