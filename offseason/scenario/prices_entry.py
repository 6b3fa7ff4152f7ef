"""What a keeper writes of prices: what help, room and time cost here, and what gear and supplies cost new.

The defaults are ours, with no source: they only weigh one remedy against another until a keeper writes their own.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from offseason.scenario.entry import Entry, Name, said

MOST_MONEY = 1_000_000_000

Price = Annotated[float, Field(strict=True, ge=0, le=MOST_MONEY)]
Years = Annotated[float, Field(strict=True, gt=0, le=200)]


class NewEntry(Entry):
    """What a piece costs new, ready for the bees, and how many years it and a mending last.

    ``mended_years``: years that this winter's work keeps an old piece going; left out: for painted gear the years
    until it is painted again, else not known.
    """

    price: Annotated[Price, said("what one piece costs new, ready to use", 24)]
    lasts_years: Annotated[Years, said("how many years a new one lasts", 15)]
    mended_years: Annotated[
        Years | None,
        said("how many years this winter's work keeps an old one going; left out: until it is painted again", 4),
    ] = None


class PricesEntry(Entry):
    """What things cost here, all in one money. Defaults are ours, no source: what to weigh remedies by.

    ``help``: own price of a helper's hour; whoever is not named there costs ``hour``. ``supplies``: of one, or of a
    litre of paint. ``new``: by the name of a lot, or of a piece for all lots of it. ``money``: its name, shown after
    amounts. ``honey_kg`` None: comb is not weighed in money.
    """

    money: Annotated[
        Annotated[str, Field(min_length=1, max_length=12)], said("name of the money, shown after amounts", "EUR")
    ] = ""
    hour: Annotated[Price, said("an hour of help; 15 unless written", 15)] = 15
    help: Annotated[dict[Name, Price], said("an hour of single helpers, where it differs", "{Joss: 20}")] = Field(
        default_factory=dict
    )
    seat: Annotated[Price, said("one more seat for the winter; 40 unless written", 40)] = 40
    space: Annotated[Price, said("room for one more comb or piece; 2 unless written", 2)] = 2
    box_space: Annotated[Price, said("room for one more box, where a place holds boxes; 8 unless written", 8)] = 8
    day_under_roof: Annotated[
        Price, said("a day in a hired place where work that needs fit weather can be done; 60 unless written", 60)
    ] = 60
    day_earlier: Annotated[Price, said("a lot fetched one day earlier; 10 unless written", 10)] = 10
    day_later: Annotated[Price, said("a lot, a job or the season ready one day later; 10 unless written", 10)] = 10
    comb: Annotated[Price, said("a comb given up; 4 unless written", 4)] = 4
    hour_left: Annotated[Price, said("an hour of work that is left undone; 30 unless written", 30)] = 30
    supplies: Annotated[
        dict[Name, Price], said("one of a supply, or a litre of a paint", "{latex paint: 14, frame nails: 0.01}")
    ] = Field(default_factory=dict)
    new: Annotated[
        dict[Name, NewEntry],
        said("what pieces cost new, by piece or lot", "{langstroth deep box: {price: 24, lasts_years: 15}}"),
    ] = Field(default_factory=dict)
    honey_kg: Annotated[Price | None, said("a kilogram of honey; left out: comb is not weighed in money", 8)] = None

    def hour_of(self, name: str) -> float:
        """What an hour of this helper costs: their own price, else that of everybody."""
        return self.help.get(name, self.hour)
