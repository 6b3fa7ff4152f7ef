"""Mend or replace, for reading: where an hour of work saves most, and what each piece and each comb is worth."""

from __future__ import annotations

from collections.abc import Iterator

from offseason.plan.worth import LotWorth, Unjudged, Worth
from offseason.scenario.model import PricesEntry, Scenario
from offseason.share.terminal.layout import clean, count_text, hours_text, paragraph, remarks_text, table
from offseason.share.terminal.money import money_text
from offseason.trade.comb import HONEY_KG_PER_WAX_KG, HONEY_KG_PER_WAX_KG_RANGE

NO_WAGE = (
    "Nothing can be weighed: the scenario does not say what an hour of help costs. Write it under prices:, and beside "
    "it what gear costs new, as in:"
)
NOTHING = (
    "No lot can be weighed with the prices there are. What gear costs new stands under prices:, and what a kilogram of "
    "honey costs, as in:"
)
EXAMPLE = """\
  prices:
    hour: 15
    new:
      langstroth deep box: {price: 24, lasts_years: 15}
      deep frame: {price: 1.5, lasts_years: 8, mended_years: 4}
    honey_kg: 8"""
NO_DECISION = (
    "A suggestion, never a decision: it knows prices and minutes, not the piece in your hand. A box that is rotten "
    "through is not worth its paint, whatever stands here."
)


def worth_text(scenario: Scenario, worth: Worth) -> str:
    """The tables and what they leave out; where nothing can be weighed, what to write in the scenario."""
    prices = scenario.prices
    if not worth.wage_written:
        return "\n\n".join([f"{paragraph(NO_WAGE)}\n{EXAMPLE}", *_suspected(worth)])
    if not worth.lots:
        unjudged = remarks_text(_unjudged(worth))
        return "\n\n".join([f"{paragraph(NOTHING)}\n{EXAMPLE}", *filter(None, [unjudged]), *_suspected(worth)])
    money = f", in {clean(prices.money)}" if prices.money else ""
    title = f"{clean(scenario.season.name)}: mend or replace, at the prices of the scenario{money}"
    parts = [paragraph(title), paragraph(NO_DECISION), _hours(worth)]
    gear = [lot for lot in worth.lots if lot.years is not None]
    comb = [lot for lot in worth.lots if lot.years is None]
    parts += [_gear(gear)] if gear else []
    parts += [_comb(comb, worth)] if comb else []
    return "\n\n".join([*parts, remarks_text(_notes(prices, worth)), *_suspected(worth)])


def _hours(worth: Worth) -> str:
    rows = [
        (
            f"{n}",
            lot.lot,
            f"{lot.hours:,.1f}",
            money_text(lot.cost, whole=True),
            money_text(lot.worth[1], whole=True),
            money_text(lot.an_hour[1]),
            lot.advice.value,
        )
        for n, lot in enumerate(worth.lots, 1)
    ]
    headers = ("", "lot", "hours", "it costs", "it is worth", "an hour saves", "suggested")
    shown = table(rows, headers, numbers=(0, 2, 3, 4, 5), wrap=(1,), indent=2)
    said = (
        "It is worth: what new gear would cost for the same years; of comb, the honey bees eat to build it anew. An "
        "hour saves what is left of that once it is paid, with what it uses up. The best are at the top."
    )
    return f"Where the winter's hours are best spent\n{paragraph(said)}\n{shown}"


def _gear(lots: list[LotWorth]) -> str:
    rows = [
        (
            lot.lot,
            f"{lot.pieces:,}",
            money_text(lot.mended_a_year or 0.0),
            money_text(lot.new_a_year or 0.0),
            money_text(lot.new_painted_a_year or 0.0),
            count_text(round(lot.years), "year") if lot.years == round(lot.years or 0) else f"{lot.years:g} years",
            lot.advice.value,
        )
        for lot in lots
    ]
    shown = table(
        rows,
        ("lot", "pieces", "mended", "new", "new+paint", "work lasts", "suggested"),
        numbers=(1, 2, 3, 4, 5),
        wrap=(0,),
        indent=2,
    )
    said = (
        "New+paint: where a new one is painted as often as the old. It depends, where a new one comes cheaper only as "
        "long as it needs no paint."
    )
    return f"Gear: what one piece costs for each year, mended and new\n{shown}\n{paragraph(said)}"


def _comb(lots: list[LotWorth], worth: Worth) -> str:
    rows = [
        (
            lot.lot,
            f"{lot.pieces:,}",
            money_text(lot.cost / lot.pieces),
            *(money_text(one / lot.pieces) for one in (lot.worth[1], lot.worth[0], lot.worth[2])),
            lot.advice.value,
        )
        for lot in lots
    ]
    headers = ("lot", "combs", "work on one", "one is worth", "at least", "at most", "suggested")
    shown = table(rows, headers, numbers=(1, 2, 3, 4, 5), wrap=(0,), indent=2)
    low, high = HONEY_KG_PER_WAX_KG_RANGE
    said = (
        f"Worth: the honey bees eat to build it anew, {HONEY_KG_PER_WAX_KG:g} kg for a kilogram of wax (published at "
        f"second hand, Whitcomb 1946; others found {low:g} to {high:g}), and 100 g of wax in a deep comb (published, a "
        "practical manual), less in a lower one by its area. The work: the steps that keep moths away, and those they "
        "need first. A comb left to moths counts as lost."
    )
    looking = f" Rounds that look at comb take {hours_text(worth.looking_hours)} more, not shared out here."
    return f"Comb: what one is worth in honey\n{shown}\n{paragraph(said + (looking if worth.looking_hours else ''))}"


def _notes(prices: PricesEntry, worth: Worth) -> Iterator[str]:
    own = "; ".join(f"{name} {money_text(price)}" for name, price in prices.help.items())
    yield (
        f"An hour costs {money_text(prices.hour, prices.money)}"
        + (f" ({own}; a step costs the mean of those who can do it)." if own else ".")
    )
    if any(lot.years is not None for lot in worth.lots):
        yield (
            "Years the work lasts: mended_years where written, else until the paint is due again (3, 4 or 5 years by "
            "climate: common practice, no source)."
        )
        yield (
            "Left out: setting up, fetching new gear and putting it together, what it needs mended later, and what old "
            "gear still sells for."
        )
    for thing, lots in worth.unpriced:
        yield f"Not counted, as its price or amount is not known: {thing} (for {'; '.join(lots)})."
    yield from _unjudged(worth)


def _unjudged(worth: Worth) -> Iterator[str]:
    """The lots that cannot be weighed, a line for each reason; names have commas in them, so semicolons between."""
    by_reason: dict[Unjudged, list[str]] = {}
    for lot, why in worth.unjudged:
        by_reason.setdefault(why, []).append(lot)
    for why, lots in by_reason.items():
        yield f"Not judged: {'; '.join(lots)}. {why.value}"


def _suspected(worth: Worth) -> list[str]:
    if not worth.suspected:
        return []
    told = (
        f"{'; '.join(worth.suspected)}: foulbrood is suspected. Nothing of it is mended, frozen, melted down or used "
        "again, whatever it would save: set it apart, close it, report it; the rules where you live come first."
    )
    return [paragraph(clean(told))]
