"""The page with small screens, in the sun and at night, without a mouse, and for those who have it read to them."""

from __future__ import annotations

from dataclasses import replace

import pytest
from axe_playwright_python.sync_playwright import Axe

from tests.share.page import seen
from tests.share.page.handouts import FIRST, hostile, small, yard

pytestmark = pytest.mark.slow  # a browser is started

RULES = {
    "runOnly": {
        "type": "tag",
        "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice", "wcag2aaa"],
    },
    "rules": {"target-size": {"enabled": True}, "color-contrast-enhanced": {"enabled": True}},
}
PHONE = {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True}
FOCUSED = """() => {
  const one = document.activeElement, box = one.getBoundingClientRect(), style = getComputedStyle(one);
  const x = Math.min(Math.max(box.left + box.width / 2, 0), innerWidth - 1), y = box.top + Math.min(box.height / 2, 20);
  const top = document.elementFromPoint(x, y);
  return {what: one.id || one.dataset.view || one.getAttribute("href") || one.closest("[id]")?.id || "",
          seen: style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2,
          there: box.bottom > 0 && box.top < innerHeight && box.right > 0,
          covered: !(top && (one.contains(top) || top.contains(one)))};
}"""


def complaints(page) -> list[str]:
    found = Axe().run(page, options=RULES).response["violations"]
    return [f"{one['id']}: {node['html'][:200]}" for one in found for node in one["nodes"]]


@pytest.mark.parametrize(
    "more",
    [{}, {"color_scheme": "dark"}, PHONE, {**PHONE, "color_scheme": "dark"}, {"forced_colors": "active"}],
    ids=["light", "dark", "phone", "phone-dark", "own-colours"],
)
def test_nothing_stands_in_the_way_of_anybody(opened, more):
    # high enough that the bar at the foot lies over nothing: on a real screen that is pushed from under it
    page = opened(
        small(), "2026-10-24", **{**more, "viewport": {"width": 360 if "is_mobile" in more else 1100, "height": 4000}}
    )
    page.locator("summary", has_text="Days gone by").click()
    seen.tick(page, small().entries[1].id)
    for word in ("Day", "Person", "Lot"):
        seen.view(page, word)
        assert complaints(page) == []


def test_nothing_stands_in_the_way_on_a_page_with_hostile_names(opened):
    assert complaints(opened(hostile(), "2026-10-17", who="nobody", **PHONE)) == []


def test_whoever_judges_the_page_sees_what_is_wrong(opened):
    page = opened(small())
    page.evaluate("document.querySelector('#said').style.color = '#ddd'")
    page.evaluate("document.querySelector('label[for=who]').remove()")
    found = complaints(page)
    assert {one.split(":")[0] for one in found} >= {"color-contrast", "select-name"}


@pytest.mark.parametrize("handout", [small(), hostile()], ids=["small", "hostile"])
def test_the_page_is_never_pushed_sideways(opened, handout):
    page = opened(handout, device_scale_factor=2)  # 640 wide: a screen of 1280 at 200 %
    seen.tick(page, handout.entries[1].id)
    for word in ("Day", "Person", "Lot"):
        seen.view(page, word)
        for width in (320, 360, 640, 1100):
            page.set_viewport_size({"width": width, "height": 740})
            assert seen.too_wide(page) <= 0


def test_letters_twice_as_large_still_fit(opened):
    page = opened(small(), viewport={"width": 640, "height": 740})
    page.evaluate("document.documentElement.style.fontSize = '34px'")
    seen.tick(page, small().entries[1].id)
    assert seen.too_wide(page) <= 0


def test_whoever_has_wax_on_the_fingers_hits_what_is_meant(opened):
    page = opened(small(), **PHONE)
    seen.tick(page, small().entries[1].id)
    sizes = page.eval_on_selector_all(
        "button, select, textarea, .entry label, #bar a, .entry input[type=number], a:not(.skip), summary",
        "all => all.filter(one => one.checkVisibility()).map(one => { const b = one.getBoundingClientRect();"
        "return [one.tagName, one.textContent.slice(0, 30), b.width, b.height] })",
    )
    assert len(sizes) > 20
    for tag, words, width, height in sizes:
        assert min(width, height) >= (32 if tag == "A" else 44), (tag, words)


def test_no_letter_is_smaller_than_sixteen_pixels(opened):
    page = opened(small(), **PHONE)
    smallest = page.eval_on_selector_all(
        "body *:not(svg *)",
        "all => Math.min(...all.filter(one => one.checkVisibility())"
        ".map(one => parseFloat(getComputedStyle(one).fontSize)))",
    )
    assert smallest >= 16


def test_with_colours_of_ones_own_what_is_chosen_is_told_by_its_frame(opened):
    page = opened(small(), forced_colors="active")
    width = "one => parseFloat(getComputedStyle(one).borderTopWidth)"
    assert page.locator("[data-view=day][aria-pressed]").evaluate(width) > page.locator(
        "button[data-view=lot]"
    ).evaluate(width)
    colours = page.locator(".day h3").first.evaluate(
        "one => [getComputedStyle(one).color, getComputedStyle(one).backgroundColor]"
    )
    assert colours[0] != colours[1]


def test_the_keyboard_alone_reaches_all_in_order_and_what_is_reached_is_seen(opened):
    page = opened(small(), "2026-10-17", viewport={"width": 700, "height": 600})
    seen.tick(page, small().entries[1].id)  # now there is a bar at the foot that could cover what is reached
    page.evaluate("document.activeElement.blur()")
    page.goto(page.url)
    order = []
    for _ in range(60):
        page.keyboard.press("Tab")
        now = page.evaluate(FOCUSED)
        if now["what"] in {"", *order[:1]}:
            break
        assert now["seen"], now
        assert now["there"], now
        assert not now["covered"], now
        order.append(now["what"])
    wanted = ["#work", f"#d-{FIRST}", "who", "days", "day", "person", "lot", "print-days", "print-months"]
    assert order[: len(wanted)] == wanted
    entries = [f"e-{one.id}" for one in small().entries if not one.row.done]
    assert {what for what in order if what.startswith("e-")} == set(entries)
    assert order.index("text") > max(order.index(one) for one in entries)
    assert {"save-svg", "save-png"} <= set(order)


def test_the_keyboard_alone_works(opened):
    page = opened(small(), "2026-10-17")
    page.keyboard.press("Tab")
    assert page.locator(".skip").bounding_box()["x"] >= 0
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    assert len(seen.text(page)) == 1
    page.keyboard.press("Space")
    assert len(seen.text(page)) == 0
    page.locator("button[data-view=person]").focus()
    page.keyboard.press("Enter")
    assert page.evaluate("document.documentElement.dataset.view") == "person"
    assert page.evaluate("document.activeElement.dataset.view") == "person"
    page.locator("#who").focus()
    page.keyboard.press("J")
    assert "for Joss" in page.locator("#said").inner_text()
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.id") == "days"


def test_what_is_shown_is_told_to_those_who_do_not_see_it(opened):
    page = opened(small())
    assert page.locator("#said").get_attribute("role") == "status"
    assert page.get_by_role("region", name="Picture of the winter; scrolls sideways").get_attribute("tabindex") == "0"
    assert page.get_by_role("main").count() == 1
    told = page.locator(f"#e-{small().entries[1].id} input").evaluate("one => one.labels[0].innerText")
    assert told == "09:00–10:00 scrape: 12 deep boxes, old paint"


IN_VIEW = """() => {
  const y = document.getElementById("text").getBoundingClientRect().y;
  return 0 <= y && y < 740;
}"""


def test_text_to_send_back_is_one_press_away_from_any_tick(opened):
    page = opened(yard(), "2027-05-28", **PHONE)
    page.locator(".day:not([hidden]) li.entry input").first.check()
    page.locator("#bar a").click()
    page.wait_for_function(IN_VIEW)  # it scrolls there in its own time


def test_many_changes_do_not_push_the_work_away(opened):
    changes = replace(small().changes, lines=small().changes.lines * 9)
    page = opened(replace(small(), changes=changes))
    assert not page.locator("#changes li").first.is_visible()
    page.locator("#changes summary").click()
    assert page.locator("#changes li").first.is_visible()
    assert "18 things" in page.locator("#changes").inner_text()
