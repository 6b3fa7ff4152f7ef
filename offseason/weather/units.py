"""Units a weather file may be written in, and what each is in °C, mm, m/s or per cent."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from offseason.weather.records import Floats


@dataclass(frozen=True)
class Unit:
    """One unit: what is written, less ``zero``, times ``times``, divided by ``per``, is the value reckoned with."""

    word: str
    zero: float = 0.0
    times: float = 1.0
    per: float = 1.0

    def si(self, written: Floats) -> Floats:
        """The numbers as written, in °C, mm, m/s or per cent."""
        return (written - self.zero) * self.times / self.per

    def written(self, si: float) -> float:
        """A value in °C, mm, m/s or per cent as it would be written in this unit."""
        return si * self.per / self.times + self.zero


# Exact by definition: 1 in = 25.4 mm, 1 mph = 0.44704 m/s, 1 kn = 1852 m/h, 0 °C = 273.15 K = 32 °F.
UNITS: Mapping[str, tuple[Unit, ...]] = MappingProxyType(
    {
        "temperature": (
            Unit("°C"),
            Unit("°F", zero=32.0, per=1.8),
            Unit("K", zero=273.15),
            Unit("tenths °C", per=10.0),
        ),
        "rain": (Unit("mm"), Unit("in", times=25.4), Unit("tenths mm", per=10.0)),
        "wind": (
            Unit("m/s"),
            Unit("km/h", per=3.6),
            Unit("mph", times=0.44704),
            Unit("kn", times=1852.0, per=3600.0),
            Unit("tenths m/s", per=10.0),
        ),
        "per cent": (Unit("%"), Unit("fraction", times=100.0)),
    }
)
"""Units by the kind of what is measured; the first of each is the one reckoned with."""

# What stands for a degree sign in files saved in many ways, or is left of one.
_DEGREE_SIGNS = re.compile("[°º˚â\ufffd]|deg(?:rees?)?")
_TENTHS = re.compile(r"^(?:tenths? of|tenths?|0[.,]1|1/10)\s*")
_OTHER_WORDS = {
    "celsius": "c", "℃": "c", "fahrenheit": "f", "℉": "f", "kelvin": "k", "millimetres": "mm", "inch": "in",
    "inches": "in", "ms-1": "m/s", "m/sec": "m/s", "kmh": "km/h", "kph": "km/h", "knots": "kn", "kt": "kn", "kts": "kn",
    "percent": "%", "pct": "%",
}  # fmt: skip


def _plain(word: str) -> str:
    """The word without what does not matter: letter case, spaces, the kind of degree sign."""
    text = word.strip().casefold()
    bare = _TENTHS.sub("", text)
    tenths = "tenths " if bare != text else ""
    bare = re.sub(r"\s+", "", _DEGREE_SIGNS.sub("", bare))
    return tenths + _OTHER_WORDS.get(bare, bare)


def unit_named(word: str, kind: str) -> Unit | None:
    """The unit of that kind (a key of ``UNITS``) a keeper means by the word; None where there is none."""
    return next((unit for unit in UNITS[kind] if _plain(unit.word) == _plain(word)), None)
