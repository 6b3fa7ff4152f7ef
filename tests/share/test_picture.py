"""Pictures: whole files that need nothing else, true to the hours, and readable without colours."""

import re
from datetime import date, timedelta
from itertools import combinations
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from offseason.share.fit_days import NOT_BY_HAND, FitDays
from offseason.share.picture import MOST_DAYS, WinterShown, fit_hours_svg, spread_svg
from offseason.share.picture.fit_hours import HOUR_PX, LEFT
from offseason.share.picture.looks import FIT, LOOK_OF, LOOKS
from offseason.share.picture.spread import DONE_COLOUR, FAILED_COLOUR, SAFE_COLOUR
from offseason.share.picture.svg import INK, LINE, MARK, PAPER, QUIET_INK, width_of
from offseason.trade.cautions import LAST_WORD
from offseason.weather.judge import Reason

SVG = "{http://www.w3.org/2000/svg}"
TAGS = ("svg", "title", "desc", "defs", "pattern", "g", "rect", "path", "line", "circle", "text")
MONDAY = date(2026, 10, 5)
HOSTILE = (
    "<script>alert(1)</script>",
    "a & b ]]> --> <!--",
    "\"quoted\" and 'so'",
    "bell\x07 null\x00 esc\x1b[31m",
    "W" * 300,
)
PROMISED, TREAT_BY = date(2027, 3, 31), date(2027, 4, 14)
WINTERS = (
    WinterShown("2012/13", date(2027, 2, 12), date(2026, 11, 3)),
    WinterShown("2013/14", date(2027, 1, 30), None),
    WinterShown("2014/15", None, date(2027, 1, 9), "12 brood boxes not painted"),
    WinterShown("2015/16", date(2027, 4, 4), date(2026, 11, 1), "second coat 4 days late"),
    WinterShown("2016/17", date(2027, 3, 1), date(2026, 11, 20)),
)


def days(count, need="painting", codes=None, first=MONDAY, title="quillet.csv"):
    drawn = np.random.default_rng(count).choice([NOT_BY_HAND, *Reason], (count, 24)).astype(np.int8)
    return FitDays(title, first, {need: drawn if codes is None else codes})


def read(svg):
    """The picture as a tree; it is not well formed where this fails."""
    return ET.fromstring(svg)  # noqa: S314  ours, not a stranger's


def words(svg):
    return [element.text for element in read(svg).iter(f"{SVG}text")]


def luminance(colour):
    """WCAG 2.2, relative luminance."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one, other):
    """WCAG 2.2, contrast ratio: 1 to 21."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def width(text, size):
    """As wide as DejaVu Sans, a wide font, shows it or a little less; W, M and m are nearly square."""
    return size * sum(0.99 if c in "WMm@%—…" else 0.35 if c in "ilj.,:;|!'· " else 0.62 for c in text)


def reach(element):
    """Every corner of what an element draws."""
    number = {key: float(value) for key, value in element.items() if re.fullmatch(r"-?[0-9.]+", value)}
    kind = element.tag.removeprefix(SVG)
    if kind == "rect":
        x, y = number.get("x", 0), number.get("y", 0)
        return [(x, y), (x + number["width"], y + number["height"])]
    if kind == "line":
        return [(number["x1"], number["y1"]), (number["x2"], number["y2"])]
    if kind == "circle":
        x, y, r = number["cx"], number["cy"], number["r"]
        return [(x - r, y - r), (x + r, y + r)]
    if kind == "text":
        long = width(element.text, number["font-size"])
        start = number["x"] - {"end": long, "middle": long / 2}.get(element.get("text-anchor"), 0)
        return [(start, number["y"] - number["font-size"]), (start + long, number["y"] + 3)]
    return corners(element.get("d")) if kind == "path" else []


def corners(path):
    x = y = 0.0
    found = []
    for sign, rest in re.findall(r"([MmlhvzLHV])([-0-9. ]*)", path):
        numbers = [float(n) for n in rest.split()]
        match sign:
            case "M":
                x, y = numbers
            case "m" | "l":
                x, y = x + numbers[0], y + numbers[1]
            case "H":
                x = numbers[0]
            case "V":
                y = numbers[0]
            case "h":
                x += numbers[0]
            case "v":
                y += numbers[0]
        found.append((x, y))
    return found


def outside(svg):
    """What reaches over the edge of the picture; patterns may, they are cut to their tile."""
    root = read(svg)
    _, _, right, bottom = map(float, root.get("viewBox").split())
    drawn = [element for part in root if part.tag != f"{SVG}defs" for element in part.iter()]
    return [
        ET.tostring(element)[:200]
        for element in drawn
        if any(not (0 <= x <= right and 0 <= y <= bottom) for x, y in reach(element))
    ]


def looks_drawn(svg, count):
    """For each hour the fill of the box that covers it, read back from the picture; None where there is none."""
    found = [[None] * 24 for _ in range(count)]
    tops = []
    for element in read(svg).iter(f"{SVG}path"):
        boxes = re.findall(r"M(\d+) (\d+)h(\d+)v(\d+)h-\d+z", element.get("d"))
        if element.get("shape-rendering") and boxes:
            tops += [(int(x), int(y), int(w), int(h), element.get("fill")) for x, y, w, h in boxes]
    top = min(y for _, y, *_ in tops)
    for x, y, wide, high, fill in tops:
        for hour in range((y - top) // HOUR_PX, (y - top + high) // HOUR_PX):
            assert found[(x - LEFT) // wide][hour] is None, "two boxes lie on one hour"
            found[(x - LEFT) // wide][hour] = fill
    return found


# what is in the file


@pytest.mark.parametrize("count", [1, 14, 31, 178, MOST_DAYS])
def test_each_hour_is_drawn_once_and_as_what_it_is(count):
    shown = days(count)
    wanted = [[LOOK_OF[code].fill for code in row] for row in shown.reasons["painting"].tolist()]
    assert looks_drawn(fit_hours_svg(shown), count) == wanted


@pytest.mark.parametrize("count", [1, 2, 14, 27, 31, 60, 178, MOST_DAYS])
def test_nothing_of_the_fit_hours_reaches_over_the_edge(count):
    assert outside(fit_hours_svg(days(count))) == []


@pytest.mark.parametrize("count", [0, MOST_DAYS + 1])
def test_no_days_or_too_many_are_no_picture(count):
    with pytest.raises(ValueError, match=f"a picture shows 1 to {MOST_DAYS} days, not {count}"):
        fit_hours_svg(days(count))


def test_two_hundred_days_of_ever_changing_weather_for_five_kinds_of_work_stay_below_a_megabyte():
    changing = np.tile(np.array([0, 2, 6, 0, 7, 4], np.int8), (200, 4))
    shown = FitDays("quillet.csv", MONDAY, {f"need {n}": changing for n in range(5)})
    assert len(fit_hours_svg(shown).encode()) < 1_000_000


def test_hours_alike_in_a_day_are_one_box():
    svg = fit_hours_svg(days(1, codes=np.repeat(np.array([[2, 0, 6]], np.int8), 8, axis=1)))
    boxes = [p for p in read(svg).iter(f"{SVG}path") if p.get("shape-rendering")]
    assert sorted(p.get("d").count("M") for p in boxes) == [1, 1, 1]


def test_the_legend_has_words_for_what_occurs_and_for_nothing_else():
    told = words(fit_hours_svg(days(1, codes=np.full((1, 24), Reason.RAIN_AFTER, np.int8))))
    assert "rain, or in the hours after" in told
    assert FIT.words in told
    assert not {look.words for look in LOOKS if look.name in {"cold", "warm", "damp", "wind", "unknown"}} & set(told)


def test_months_days_hours_and_the_span_are_written_at_the_edges():
    told = words(fit_hours_svg(days(178)))
    assert "Mon 5 Oct 2026 to Wed 31 Mar 2027" in told
    assert {"Oct 2026", "Nov 2026", "Dec 2026", "Jan 2027", "Feb 2027", "Mar 2027"} <= set(told)
    assert {"00", "06", "12", "18", "24"} <= set(told)
    assert {"5", "12", "19", "26"} <= set(told)
    assert LAST_WORD in told


def test_in_a_picture_of_many_days_every_whole_month_is_named():
    told = words(fit_hours_svg(days(MOST_DAYS)))
    assert {f"{date(2027, month, 1):%b %Y}" for month in range(1, 11)} <= set(told)


def test_whoever_has_the_picture_read_to_them_hears_how_many_hours_are_fit():
    codes = np.full((2, 24), Reason.TOO_COLD, np.int8)
    codes[0, 10:15], codes[1, :4] = Reason.FIT, Reason.UNKNOWN
    root = read(fit_hours_svg(days(2, codes=codes)))
    assert root.get("role") == "img"
    assert root.get("aria-labelledby").split() == [
        root.find(f"{SVG}title").get("id"),
        root.find(f"{SVG}desc").get("id"),
    ]
    assert "painting: 5 of 44 known hours fit." in root.find(f"{SVG}desc").text


@pytest.mark.parametrize("svg", [fit_hours_svg(days(20)), spread_svg(WINTERS, PROMISED, TREAT_BY, "Winters")])
def test_a_picture_needs_nothing_but_itself(svg):
    assert svg.startswith(f'<?xml version="1.0" encoding="UTF-8"?>\n{MARK}\n')
    assert not re.search(r"<script|<image|<style|<foreignObject|href|\son\w+=|@import|data:", svg)
    assert re.findall(r"https?://[^\"]*", svg) == ["http://www.w3.org/2000/svg"]
    assert set(re.findall(r"url\((.*?)\)", svg)) <= {f"#{look.name}" for look in LOOKS}


@pytest.mark.parametrize("name", HOSTILE)
def test_names_cannot_break_out_of_a_picture(name):
    for svg in (
        fit_hours_svg(days(14, need=name, title=name)),
        spread_svg([WinterShown(name, None, None, name)], PROMISED, None, name),
    ):
        root = read(svg)
        assert {element.tag for element in root.iter()} <= {f"{SVG}{tag}" for tag in TAGS}
        assert outside(svg) == []
        assert all(c.isprintable() for element in root.iter() for c in (element.text or "").replace("\n", ""))


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=40))
def test_whatever_a_need_is_called_the_picture_is_a_whole_file(name):
    assert read(fit_hours_svg(days(3, need=name))).tag == f"{SVG}svg"


# readable without colours


@pytest.mark.parametrize("ink", [INK, QUIET_INK, FAILED_COLOUR])
def test_words_stand_out_from_the_paper_as_wcag_asks(ink):
    assert contrast(ink, PAPER) >= 4.5  # WCAG 2.2, 1.4.3


@pytest.mark.parametrize("svg", [fit_hours_svg(days(20)), spread_svg(WINTERS, PROMISED, TREAT_BY, "Winters")])
def test_no_words_have_another_ink(svg):
    root = read(svg)
    inks = {element.get("fill", root.get("fill")) for element in root.iter(f"{SVG}text")}
    assert inks <= {INK, QUIET_INK, FAILED_COLOUR}


@pytest.mark.parametrize("ink", [DONE_COLOUR, SAFE_COLOUR, FAILED_COLOUR, LINE])
def test_marks_and_lines_stand_out_from_the_paper_as_wcag_asks(ink):
    assert contrast(ink, PAPER) >= 3  # WCAG 2.2, 1.4.11


@pytest.mark.parametrize("look", [look for look in LOOKS if look is not FIT])
def test_fit_hours_are_dark_and_all_others_pale_down_to_their_hatching(look):
    assert luminance(look.paper) - luminance(FIT.paper) > 0.7
    if look.ink:
        assert contrast(look.ink, FIT.paper) >= 3
        assert contrast(look.ink, look.paper) >= 3


@pytest.mark.parametrize(("one", "other"), [*combinations([look for look in LOOKS if look is not FIT], 2)])
def test_reasons_differ_in_their_hatching_not_only_in_colour(one, other):
    assert one.hatch != other.hatch


def test_every_reason_has_a_look():
    assert set(LOOK_OF) == {NOT_BY_HAND, *Reason}
    assert [code for code, look in LOOK_OF.items() if look is FIT] == [Reason.FIT]


# past winters


def rows_of(svg):
    return [g for g in read(svg) if g.tag == f"{SVG}g" and g.find(f"{SVG}title") is not None]


def names_of(svg):
    return [row.find(f"{SVG}text").text for row in rows_of(svg)]


def test_the_poorest_winter_stands_first_and_those_that_kept_all_follow_the_latest_first():
    svg = spread_svg(WINTERS, PROMISED, TREAT_BY, "Winters")
    assert names_of(svg) == ["2014/15", "2015/16", "2016/17", "2012/13", "2013/14"]


def test_a_winter_that_failed_has_a_cross_and_the_words_and_no_dot():
    for row in rows_of(spread_svg(WINTERS, PROMISED, TREAT_BY, "Winters")):
        winter = next(one for one in WINTERS if one.name == row.find(f"{SVG}text").text)
        crosses = [path for path in row.iter(f"{SVG}path") if path.get("stroke") == FAILED_COLOUR]
        assert (len(crosses), len(row.findall(f"{SVG}circle"))) == ((1, 0) if winter.failed else (0, 1))
        told = [text.text for text in row.iter(f"{SVG}text")][1]
        assert told == (winter.failed or f"all done {winter.finished:%a} {winter.finished.day} {winter.finished:%b}")


def test_the_later_a_winter_was_finished_the_further_to_the_right_its_dot():
    many = [WinterShown(f"{n}", MONDAY + timedelta(days=3 * n), None) for n in range(30)]
    dots = [float(row.find(f"{SVG}circle").get("cx")) for row in rows_of(spread_svg(many, PROMISED, None, "Winters"))]
    assert dots == sorted(dots, reverse=True)
    assert len(set(np.diff(dots).round())) == 1


def test_comb_that_was_never_safe_has_no_mark():
    svg = spread_svg([WinterShown("2013/14", date(2027, 1, 30), None)], PROMISED, None, "Winters")
    assert rows_of(svg)[0].findall(f"{SVG}path") == []


@pytest.mark.parametrize("treat_by", [None, TREAT_BY, date(2027, 3, 20), PROMISED, date(2026, 10, 20)])
def test_the_days_all_must_be_done_by_are_lines_with_words(treat_by):
    svg = spread_svg(WINTERS, PROMISED, treat_by, "Winters")
    broken = [one for one in read(svg).iter(f"{SVG}line") if one.get("stroke-dasharray")]
    assert len(broken) == (2 if treat_by else 1)
    assert all(one.get("x1") == one.get("x2") for one in broken)
    assert "all done by Wed 31 Mar" in words(svg)
    assert outside(svg) == []


def test_how_many_winters_kept_every_promise_is_said_in_words():
    assert words(spread_svg(WINTERS, PROMISED, None, "Winters"))[1].startswith(
        "3 of 5 past winters kept every promise."
    )


@pytest.mark.parametrize("count", [1, 10, 40])
def test_nothing_of_the_past_winters_reaches_over_the_edge(count):
    many = [
        WinterShown(f"{1980 + n}", PROMISED - timedelta(days=5 * n), MONDAY + timedelta(days=n)) for n in range(count)
    ]
    assert outside(spread_svg(many, PROMISED, TREAT_BY, "Winters")) == []


def test_without_a_past_winter_there_is_no_picture():
    with pytest.raises(ValueError, match="no past winter"):
        spread_svg([], PROMISED, None, "Winters")


def test_a_mark_over_a_letter_takes_no_room_of_its_own():
    assert width_of("cafe\u0301") == width_of("cafe") < width_of("cafes")
