"""Cautions that stand beside hazardous work: one short sentence of usual practice each, and no recipes."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from types import MappingProxyType

LAST_WORD = "The label and your local authority come before these numbers."

CAUTIONS: Mapping[str, str] = MappingProxyType(
    {
        # common practice, no source
        "lead": "Old paint may hold lead: test it before scraping or sanding; untested counts as unknown, not as safe.",
        "dust": "Wear a dust mask, and work where the dust is carried off.",
        "solvents": "Solvents: open doors and windows, and keep flames and sparks away.",
        # The National Fire Protection Association has published this one.
        "oily rags": "Oily rags heat up by themselves and catch fire: the same day dry them flat outdoors, "
        "or put them under water in a can with a lid.",
        # common practice, no source
        "torch": "Torch: keep a fire extinguisher at hand, and watch the place for 60 minutes afterwards.",
        # published: Government of Western Australia
        "hot wax": "Hot wax: never alone and never with water on it; its vapour is flammable above 175 °C. "
        "Only dipping of wood needs 150-170 °C, melting comb far less.",
        # common practice, no source
        "lye": "Lye: goggles and gauntlets; lye into cold water, never the other way round; never with aluminium.",
        "acids": "Acids, burning sulphur and carbon dioxide: outdoors only, with a respirator.",
        "lifting": "A full deep box weighs 36-41 kg: lift it with two people, or comb by comb.",
        # not with honey, not for eggs: published; 14 days: from memory, not confirmed
        "moth crystals": "Moth crystals: only where they are authorised, never on comb with honey; "
        "air the comb for 14 days before bees get it; they kill no eggs.",
        # published: Government of Western Australia (spores live 40 years); notifiable in most countries
        "foulbrood": "Suspected foulbrood: do not clean, melt, move or freeze it for use again; isolate it, seal it "
        "and report it. Freezing does not kill the spores.",
    }
)

_OF_PAINT: Mapping[str, tuple[str, ...]] = MappingProxyType({"oil": ("solvents", "oily rags")})


def _words(*patterns: str) -> re.Pattern[str]:
    """Whole words, whatever their case; an underscore parts words as a space does."""
    return re.compile(rf"(?<![^\W_])(?:{'|'.join(patterns)})(?![^\W_])", re.IGNORECASE)


_SULPHUR = r"sul(?:ph|f)ur(?:s|ed|ing|ous)?"
_OF_WORDS: Mapping[str, re.Pattern[str]] = MappingProxyType(
    {
        "torch": _words(r"(?:blow[ -]?)?torch(?:es|ed|ing)?", r"scorch(?:es|ed|ing)?", r"flam(?:e|es|ed|ing)"),
        "hot wax": _words(
            r"melt(?:s|ed|ing)?",
            r"render(?:s|ed|ing)?",
            r"press(?:es|ed|ing)?\W+(?:\w+\W+){0,3}cappings?",
            r"hot\W+wax",
            r"wax\W+dip(?:s|ped|ping)?",
            r"dip(?:s|ped|ping)?\W+(?:\w+\W+){0,3}wax",
        ),
    }
)
_OF_SUBSTANCES: Mapping[str, re.Pattern[str]] = MappingProxyType(
    {
        "solvents": _words("solvents?", "turpentine", r"white\W+spirit", "thinners?", r"paint\W+(?:stripper|remover)"),
        "lye": _words("lye", "caustic", r"sodium\W+hydroxide"),
        "acids": _words("acids?", "acetic", "formic", "oxalic", _SULPHUR, "co[2₂]", r"carbon\W+dioxide"),
        "moth crystals": _words(r"(?:p(?:ara)?[ -]?)?dichlorobenzene", "pdc?b", r"moth\W+crystals?"),
    }
)
_TAKES_PAINT_OFF = _words(r"scrap(?:e|es|ed|ing)", r"sand(?:s|ed|ing)?", r"strip(?:s|ped|ping)?")
_STRIPS = _words(r"strip(?:s|ped|ping)?")
_NAMES_PAINT = _words("paint(?:s|ed)?")

NEVER_ALONE = frozenset({"torch", "hot wax"})
"""Work that is never to be done by one person alone (hot wax: published, as above; torch: common practice)."""


def cautions_for(
    *,
    words: Iterable[str] = (),
    paint: str | None = None,
    kind_of_work: str | None = None,
    old_paint: bool = True,
    substances: Iterable[str] = (),
) -> tuple[str, ...]:
    """Keys of CAUTIONS that stand beside a task, each once, in the order of CAUTIONS.

    ``words``: keys the keeper wrote. ``paint``: latex, oil or glue; oil brings solvents and oily rags.
    ``kind_of_work``: the name of the work; its whole words tell of flame, hot wax, lye, acids and the like. Scraping,
    sanding or stripping brings lead, stripping also solvents, unless ``old_paint`` is False, which is for frames,
    comb, and boxes known never to have been painted (unknown counts as unknown, not as bare), and the name does not
    speak of paint. ``substances``: treatments and supplies, by the same words.
    Source: as beside each sentence of CAUTIONS; which words tell of which hazard is common practice, no source.
    Errors: ValueError for a word that is not a key of CAUTIONS.
    """
    found = set(words)
    unknown = sorted(found - CAUTIONS.keys())
    if unknown:
        raise ValueError(f"'{unknown[0]}' is not a caution known here; write one of {', '.join(CAUTIONS)}.")
    name = kind_of_work or ""
    found.update(_OF_PAINT.get(paint or "", ()))
    found.update(key for key, told in _OF_WORDS.items() if told.search(name))
    for text in (name, *substances):
        found.update(key for key, told in _OF_SUBSTANCES.items() if told.search(text))
    if old_paint or _NAMES_PAINT.search(name):
        found.update(["lead"] if _TAKES_PAINT_OFF.search(name) else [])
        found.update(["solvents"] if _STRIPS.search(name) else [])
    return tuple(key for key in CAUTIONS if key in found)
