"""The catalogue of hive gear: what kind each piece is, wall to paint, room it takes, what its comb is worth.

Room is counted in comb spaces: one hanging deep comb takes 1. A box takes as many as the combs of a deep box of its
hive, less in proportion to its height and rounded up (ours). The room of all other pieces is ours as well, rounded
up to whole comb spaces: keepers who measured write their own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from offseason.trade.limits import checked_amount

KINDS = ("woodenware", "comb", "foundation", "frames", "tools")

# Lowest and highest °C for storing foundation. Ours: it is brittle in the cold (handled at 18-25 °C) and soft from
# about 32-35 °C (seen only on a secondary page), so 30 keeps clear of the soft end and 0 keeps it out of the freezer.
FOUNDATION_CELSIUS = (0.0, 30.0)
# Lowest and highest °C for fitting it, and from where on it is soft: seen only on a secondary page, not confirmed.
FITTING_CELSIUS = (18.0, 25.0)
FOUNDATION_SOFT_CELSIUS = 32.0

_MM_PER_INCH = 25.4
SECONDARY = "seen only on a secondary page, not confirmed"
MEMORY = "from memory, not confirmed"
BS_1300 = "published: BS 1300:1960"
OURS = "ours"


@dataclass(frozen=True)
class Piece:
    """One piece of gear. ``kind`` is one of KINDS.

    ``wall_area_m2``: outside that is painted, in square metres; None where nothing is painted.
    ``spaces``: comb spaces it takes when stored. ``frames``: frames it holds when full, 0 for all but boxes.
    ``comb_worth_ratio``: worth of its drawn comb against a deep comb, by comb area; 0 where there is no comb.
    ``sure``: how sure the area or the ratio is, with its source.
    """

    name: str
    kind: str
    wall_area_m2: float | None = None
    spaces: int = 1
    frames: int = 0
    comb_worth_ratio: float = 0.0
    sure: str = OURS


def wall_area_m2(length_mm: float, width_mm: float, height_mm: float) -> float:
    """Outside of the four walls in square metres, ``2 (L + W) H`` from outside millimetres (derived here)."""
    for mm, side in ((length_mm, "length"), (width_mm, "width"), (height_mm, "height")):
        checked_amount(mm, f"The {side} in millimetres")
    return 2 * (length_mm + width_mm) * height_mm / 1_000_000


def _langstroth(height_inches: float) -> float:
    # The areas in print follow from the inches (19 7/8 by 16 1/4); the usual millimetres are rounded from these.
    return wall_area_m2(19.875 * _MM_PER_INCH, 16.25 * _MM_PER_INCH, height_inches * _MM_PER_INCH)


def _dadant(height_inches: float) -> float:
    return wall_area_m2(20 * _MM_PER_INCH, 18.5 * _MM_PER_INCH, height_inches * _MM_PER_INCH)


_LID_M2 = 0.552 * 0.464 + wall_area_m2(552, 464, 57)
_FLOOR_M2 = 0.559 * 0.413

_PIECES = (
    # boxes, empty
    Piece("langstroth deep box", "woodenware", _langstroth(9.625), 10, 10, sure=SECONDARY),
    Piece("langstroth medium box", "woodenware", _langstroth(6.625), 7, 10, sure=SECONDARY),
    Piece("langstroth shallow box", "woodenware", _langstroth(5.6875), 6, 10, sure=SECONDARY),
    Piece("national brood box", "woodenware", wall_area_m2(460.4, 460.4, 225.4), 11, 11, sure=BS_1300),
    Piece("national super", "woodenware", wall_area_m2(460.4, 460.4, 149.2), 8, 11, sure=BS_1300),
    Piece("dadant brood box", "woodenware", _dadant(11.75), 11, 11, sure=MEMORY),
    Piece("dadant super", "woodenware", _dadant(6.625), 7, 11, sure=MEMORY),
    Piece("nucleus box", "woodenware", wall_area_m2(505, 230, 244.5), 6, 5, sure=OURS),
    # other wood of the hive
    Piece("telescoping lid", "woodenware", _LID_M2, 3, sure=f"{SECONDARY}; area derived here"),
    Piece("flat lid", "woodenware", _FLOOR_M2, 2, sure=OURS),
    Piece("inner cover", "woodenware", None, 1),
    Piece("floor", "woodenware", _FLOOR_M2, 3, sure=MEMORY),
    Piece("hive stand", "woodenware", None, 6),
    Piece("bee escape board", "woodenware", None, 1),
    # drawn comb in its frame
    Piece("deep comb", "comb", None, 1, comb_worth_ratio=1.0, sure="published: about 100 g of wax, a practical manual"),
    Piece("medium comb", "comb", None, 1, comb_worth_ratio=0.70, sure="derived here from comb area"),
    Piece("shallow comb", "comb", None, 1, comb_worth_ratio=0.57, sure="derived here from comb area"),
    Piece("national brood comb", "comb", None, 1, comb_worth_ratio=0.80, sure=f"comb area {MEMORY}"),
    Piece("national super comb", "comb", None, 1, comb_worth_ratio=0.50, sure=f"comb area {MEMORY}"),
    Piece("dadant comb", "comb", None, 1, comb_worth_ratio=1.30, sure=f"comb area {MEMORY}"),
    Piece("dadant super comb", "comb", None, 1, comb_worth_ratio=0.70, sure=f"comb area {MEMORY}"),
    # frames without comb
    Piece("deep frame", "frames"),
    Piece("medium frame", "frames"),
    Piece("shallow frame", "frames"),
    Piece("national brood frame", "frames"),
    Piece("national super frame", "frames"),
    Piece("dadant frame", "frames"),
    Piece("dadant super frame", "frames"),
    # foundation, loose and fitted
    Piece("foundation sheet", "foundation"),
    Piece("ten foundation sheets", "foundation"),
    Piece("deep frame with foundation", "foundation"),
    Piece("medium frame with foundation", "foundation"),
    Piece("shallow frame with foundation", "foundation"),
    # tools and things that are neither painted nor eaten by moths
    Piece("queen excluder", "tools"),
    Piece("feeder", "tools", None, 4),
    Piece("frame feeder", "tools"),
    Piece("entrance block", "tools"),
    Piece("smoker", "tools", None, 2),
    Piece("hive tool", "tools"),
    Piece("hive strap", "tools"),
    Piece("bucket", "tools", None, 4),
    Piece("honey extractor", "tools", None, 40),
    Piece("settling tank", "tools", None, 20),
    Piece("uncapping tray", "tools", None, 6),
    Piece("wax melter", "tools", None, 20),
    Piece("pollen trap", "tools", None, 3),
)

CATALOGUE: Mapping[str, Piece] = MappingProxyType({piece.name: piece for piece in _PIECES})
