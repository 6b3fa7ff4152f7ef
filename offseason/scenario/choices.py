"""The words a keeper chooses from: importance, climate, preference, what a comb holds, foulbrood, what dries."""

from __future__ import annotations

from enum import StrEnum


class Importance(StrEnum):
    """How much it matters that the work is done this winter."""

    MUST = "must"
    SHOULD = "should"
    COULD = "could"


class Climate(StrEnum):
    """How hard the weather is on paint: decides the years between paintings."""

    HARSH = "harsh"
    MODERATE = "moderate"
    MILD = "mild"


class Preference(StrEnum):
    """What the keeper likes best among plans that keep every promise."""

    EARLY = "done early"
    FEW_DAYS = "few days"
    EVEN_WEEKS = "even weeks"


class CombClass(StrEnum):
    """What a comb holds: decides how moths take to it and how long it stays in the freezer."""

    DRY = "dry"
    WET = "wet"
    BROOD = "brood"
    POLLEN = "pollen"
    HONEY = "honey"


class Foulbrood(StrEnum):
    """What is known of foulbrood in the colony the gear came from."""

    NONE = "none known"
    SUSPECTED = "suspected"


class Drying(StrEnum):
    """What dries or sets after the work."""

    LATEX = "latex"
    OIL = "oil"
    GLUE = "glue"
