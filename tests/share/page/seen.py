"""What somebody sees of a page, read from the browser."""

from __future__ import annotations

from playwright.sync_api import Page

from offseason.share.handout import Handout


def ids(page: Page, selector: str = "li.entry") -> list[str]:
    """Ids of the entries on the page, in its order."""
    return page.eval_on_selector_all(selector, "all => all.map(one => one.id.slice(2))")


def shown(page: Page) -> list[str]:
    """Ids of the entries that are shown and not folded away."""
    return page.eval_on_selector_all(
        "li.entry",
        "all => all.filter(one => !one.closest('[hidden]') && !one.closest('details:not([open])'))"
        ".map(one => one.id.slice(2))",
    )


def under(page: Page, entry: str) -> list[str]:
    """The headings an entry stands under, the nearest last."""
    return page.eval_on_selector(
        f"[id='e-{entry}']",
        "one => [one.closest('.day, .group')?.querySelector('h3'), one.closest('.of')?.querySelector('h4')]"
        ".map(head => head?.textContent)",
    )


def of(handout: Handout, *, who: str | None = None, day: object = None) -> list[str]:
    """Ids of the entries of a person or day."""
    wanted = (e for e in handout.entries if who is None or who in e.row.who)
    return [e.id for e in wanted if day is None or e.row.day == day]


def view(page: Page, word: str) -> None:
    """Has the work set out by day, person or lot."""
    page.locator("#controls").get_by_role("button", name=word, exact=True).click()


def choose(page: Page, *, who: str | None = None, days: str | None = None) -> None:
    """Chooses in the two lists at the top."""
    for called, word in (("#who", who), ("#days", days)):
        if word is not None:
            page.locator(called).select_option(label=word)


def tick(page: Page, entry: str) -> None:
    """Ticks an entry as done."""
    page.locator(f"[id='e-{entry}'] input[type=checkbox]").check()


def text(page: Page) -> list[str]:
    """The lines to send back."""
    return page.get_by_label("Lines of what is ticked").input_value().splitlines()


def too_wide(page: Page) -> float:
    """By how many pixels the page has to be pushed sideways."""
    return page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
