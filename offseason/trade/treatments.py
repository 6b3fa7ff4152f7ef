"""Usual amounts of what comb is treated with: for ordering, never for dosing; the label comes before every number.

An amount is told only for comb known to be fit for it: never for comb with honey in it, and comb of which nobody says
what it holds counts as such. Asking whether a treatment is authorised locally is the caller's part.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from offseason.trade.sizes import CATALOGUE

ACID_ML_PER_BOX = 75.0  # of 80 % acetic acid, for a box of ten frames; published: Norwegian beekeepers' association
FRAMES_OF_THE_ACID_BOX = 10
CRYSTALS_G = 85.0  # paradichlorobenzene, for a stack of 5 deep or 8 medium boxes; published: a US state association
DEEP_BOXES_TO_A_STACK, MEDIUM_BOXES_TO_A_STACK = 5, 8
COMBS_TO_A_BOX = 10  # ours, where combs are counted and not boxes

_ACID = re.compile(r"\b(?:acetic|ethanoic)\b", re.IGNORECASE)
_STRENGTH = re.compile(r"(\d+(?:[.,]\d+)?)\s*%")
_CRYSTALS = re.compile(r"\b(?:p(?:ara)?[ -]?)?dichlorobenzene\b|\bpdc?b\b|\bmoth\W+crystals?\b", re.IGNORECASE)
_NO_HONEY = ("dry", "brood", "pollen")
# Extracted comb that the bees have not licked dry still has a film of honey: enough to keep the crystals off it.
_OF_ACID, _OF_CRYSTALS = (*_NO_HONEY, "wet"), _NO_HONEY


@dataclass(frozen=True)
class UsualAmount:
    """What is usually taken: ``amount`` in ``unit`` ("ml" or "g"); ``each`` says of what and for how much comb."""

    amount: float
    unit: str
    each: str


def usual_amount(treatment: str, comb: str | None, piece: str, pieces: int, spaces: int | None) -> UsualAmount | None:
    """What treating so many pieces once usually takes; None where only the label can say, or none may be told.

    ``treatment``: the active ingredient as the keeper wrote it. ``comb``: what the comb holds (dry, wet, brood,
    pollen, honey; None: nobody says). ``spaces``: comb spaces of one piece; a piece of more than one is taken for a
    box, single combs are counted ten to a box (ours).
    Acetic acid of 80 %, or of a strength that is not written: 75 ml for each 10-frame box (published: Norwegian
    beekeepers' association). Paradichlorobenzene: 85 g for 5 deep or 8 medium boxes (published: a US state
    association); shallow combs count as medium ones, all between medium and deep as deep (ours), larger ones are left
    to the label. Bacillus thuringiensis and all else: the label alone.
    Errors: ValueError for fewer pieces than none.
    """
    if pieces < 0:
        raise ValueError(f"{pieces} pieces cannot be treated; give a number from 0 up.")
    boxes = pieces if (spaces or 1) > 1 else math.ceil(pieces / COMBS_TO_A_BOX)
    if _ACID.search(treatment) and comb in _OF_ACID and _is_80_percent(treatment):
        each = f"{ACID_ML_PER_BOX:g} ml of 80 % acid for a box of {FRAMES_OF_THE_ACID_BOX} frames"
        return UsualAmount(ACID_ML_PER_BOX * boxes, "ml", each)
    to_a_stack = _boxes_to_a_stack(piece)
    if _CRYSTALS.search(treatment) and comb in _OF_CRYSTALS and to_a_stack is not None:
        height = "deep" if to_a_stack == DEEP_BOXES_TO_A_STACK else "medium"
        each = f"{CRYSTALS_G:g} g for {to_a_stack} {height} boxes, and more as it is gone"
        return UsualAmount(CRYSTALS_G * boxes / to_a_stack, "g", each)
    return None


def _is_80_percent(treatment: str) -> bool:
    strengths = [float(text.replace(",", ".")) for text in _STRENGTH.findall(treatment)]
    return all(strength == 80 for strength in strengths)


def _boxes_to_a_stack(piece: str) -> int | None:
    known = CATALOGUE.get(piece)
    if known is None or not 0 < known.comb_worth_ratio <= 1:
        return None
    medium = known.comb_worth_ratio <= CATALOGUE["medium comb"].comb_worth_ratio
    return MEDIUM_BOXES_TO_A_STACK if medium else DEEP_BOXES_TO_A_STACK
