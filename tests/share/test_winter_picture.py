"""The winter at a glance: true to the plan day by day, readable without colours, safe inside a page."""

import re
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from itertools import combinations, pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from offseason.plan.audit import audit
from offseason.plan.document import LeftOver, Plan, Row
from offseason.plan.load import everybody
from offseason.plan.reading import CombSafety
from offseason.scenario.model import Scenario, WeatherEntry
from offseason.scenario.read import read_scenario
from offseason.share.picture import winter_svg
from offseason.share.picture.svg import INK, PAPER, QUIET_INK
from offseason.share.picture.winter_looks import (
    CALLED_LOOK,
    FIT_LOOK,
    FULL_LOOK,
    IDS,
    KIND_LOOKS,
    NOBODY_LOOK,
    OTHER_LOOKS,
    OVER_LOOK,
    letters_of,
    looks_of,
)
from offseason.share.picture.winter_lots import (
    BOX_PX,
    DONE_BOX_PX,
    LANE_PX,
    LOT_GROUND,
    Lane,
    LotShown,
    lot_strip,
)
from offseason.share.picture.winter_scale import PLOT_LEFT, WIDTH, scale_of
from offseason.trade.cautions import LAST_WORD
from offseason.weather.winter import settle
from offseason.workload.build import build_workload
from tests.share.test_picture import HOSTILE, SVG, TAGS, contrast, luminance, outside, read, words
from tests.shipped_plans import shipped

SCENARIOS = Path(__file__).parents[2] / "scenarios"
MADE = datetime(2026, 10, 1, tzinfo=UTC)
FIRST, LAST, MOTHS = date(2026, 10, 5), date(2027, 3, 31), date(2027, 4, 20)
SCALE = scale_of(FIRST, LAST, [MOTHS], 18)

# Machado, Oliveira and Fernandes 2009, severity 1, for linear sRGB (published; numbers as widely reprinted)
EYES = {
    "protanopia": ((0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216), (-0.003882, -0.048116, 1.051998)),
    "deuteranopia": ((0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.01182, 0.04294, 0.968881)),
    "tritanopia": ((1.255528, -0.076749, -0.178779), (-0.078411, 0.930809, 0.147602), (0.004733, 0.691367, 0.3039)),
}


def seen(colour, eyes):
    """The colour as these eyes see it."""
    if eyes == "any":
        return colour
    parts = np.array([int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)])
    linear = np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)
    linear = np.clip(np.array(EYES[eyes]) @ linear, 0, 1)
    shown = np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)
    return "#" + "".join(f"{round(255 * part):02x}" for part in shown)


@pytest.fixture
def plan(plan):
    """The small plan of these tests with all that it leaves out done too, so that the days have all the room."""
    scraped = tuple(replace(row, pieces=12) if row.step == "scrape" else row for row in plan.rows)
    look = Row(date(2026, 11, 3), time(9), time(9, 30), ("Ines",), "look at the combs", "look at the combs", 1)
    return replace(plan, rows=(*scraped, look))


@pytest.fixture
def settled(scenario):
    """The small winter of these tests, with one day fit for paint on which nobody comes and one on which both do."""
    windows = {"painting": {"2026-10-10": ["10:00-14:00"], "2026-10-12": ["10:00-12:00"]}}
    return scenario.model_copy(update={"weather": WeatherEntry.model_validate({"windows": windows})})


def group(svg, name):
    """The part of the picture that shows this lot, job, place or kind of weather."""
    (found,) = (
        g
        for g in read(svg).iter(f"{SVG}g")
        if g.find(f"{SVG}title") is not None and re.split(": ", g.find(f"{SVG}title").text)[0] == name
    )
    return found


def boxes(part, high=None):
    """Left and right edge of the boxes in it, or in these paths; of those so high."""
    found = []
    for path in part if isinstance(part, list) else part.iter(f"{SVG}path"):
        for x, wide, tall in re.findall(r"M(\d+) \d+h(\d+)v(-?\d+)h-\d+z", path.get("d")):
            if high is None or abs(int(tall)) == high:
                found.append((int(x), int(x) + int(wide)))
    return sorted(found)


def told(svg):
    return read(svg).find(f"{SVG}desc").text


def across(*days):
    return [(SCALE.x(day), SCALE.x(day + timedelta(days=1))) for day in days]


# what is in it


def test_each_day_of_work_is_a_box_in_the_lane_of_its_kind_of_work(scenario, workload, plan):
    lot = group(winter_svg(scenario, None, workload, plan), "brood boxes")
    assert boxes(lot, BOX_PX) == across(date(2026, 10, 5), date(2026, 10, 12))
    letters = [text.text for text in lot.iter(f"{SVG}text") if text.get("font-weight") == "bold"]
    assert letters == ["sc", "fc"]


def test_days_on_end_are_one_box_and_a_day_between_makes_two(scenario, workload, plan):
    more = (replace(plan.rows[1], day=date(2026, 10, day)) for day in (6, 7, 9))
    svg = winter_svg(scenario, None, workload, replace(plan, rows=(*plan.rows, *more)))
    (one, _), (_, two) = across(date(2026, 10, 5), date(2026, 10, 7))
    later = across(date(2026, 10, 9), date(2026, 10, 12))
    assert boxes(group(svg, "brood boxes"), BOX_PX) == [(one, two), *later]


def test_letters_stand_right_before_the_first_box(scenario, workload, plan):
    lot = group(winter_svg(scenario, None, workload, plan), "brood boxes")
    coat = next(text for text in lot.iter(f"{SVG}text") if text.text == "fc")
    assert coat.get("text-anchor") == "end"
    assert 0 < SCALE.x(date(2026, 10, 12)) - float(coat.get("x")) < 8


def test_what_is_done_is_a_low_box_on_a_thick_line_and_what_is_to_come_a_high_one(scenario, workload, plan):
    rows = tuple(replace(row, done=row.day < date(2026, 10, 12)) for row in plan.rows)
    anew = replace(plan, rows=rows, since=datetime(2026, 10, 12, 8))  # noqa: DTZ001  by the clock on the wall
    svg = winter_svg(scenario, None, workload, anew)
    lot = group(svg, "brood boxes")
    assert boxes(lot, DONE_BOX_PX) == across(date(2026, 10, 5))
    assert boxes(lot, BOX_PX) == across(date(2026, 10, 12))
    (bar,) = (path.get("d") for path in lot.iter(f"{SVG}path") if path.get("fill") == INK)
    assert re.findall(r"M(\d+)", bar) == [str(SCALE.x(date(2026, 10, 5)))]
    assert "planned anew from Mon 12 Oct, 08:00" in words(svg)
    assert "done already: a low box on a thick line" in words(svg)
    assert "scrape on 1 day, 5 Oct, done on 1" in told(svg)


def test_a_day_of_which_only_a_part_is_done_is_still_to_come(scenario, workload, plan):
    morning = replace(plan.rows[1], done=True, pieces=4)
    rows = (*(row for row in plan.rows if row.step != "scrape"), morning, replace(plan.rows[1], pieces=8))
    lot = group(winter_svg(scenario, None, workload, replace(plan, rows=rows)), "brood boxes")
    assert boxes(lot, BOX_PX) == across(date(2026, 10, 5), date(2026, 10, 12))
    assert boxes(lot, DONE_BOX_PX) == []


def test_a_plan_of_the_whole_winter_has_no_sign_for_done_work(scenario, workload, plan):
    told_ = words(winter_svg(scenario, None, workload, plan))
    assert not [word for word in told_ if word.startswith(("done already", "planned anew"))]


def test_the_day_by_which_comb_must_be_protected_is_a_tick_with_words(scenario, workload, plan):
    lot = group(winter_svg(scenario, None, workload, plan), "super combs")
    ticks = [p.get("d") for p in lot.iter(f"{SVG}path") if p.get("stroke-width") == "2.2"]
    assert [re.match(r"M(\d+)", tick)[1] for tick in ticks] == [str(SCALE.x(MOTHS))]
    assert "protect by 19 Apr" in [text.text for text in lot.iter(f"{SVG}text")]


def test_a_diamond_follows_the_day_on_which_the_last_comb_is_protected(scenario, workload, plan):
    svg = winter_svg(scenario, None, workload, plan)
    (diamond,) = (
        p.get("d")
        for p in group(svg, "super combs").iter(f"{SVG}path")
        if p.get("fill") == PAPER and "l5 5" in p.get("d")
    )
    assert 0 < float(re.match(r"M([\d.]+)", diamond)[1]) - SCALE.x(date(2026, 10, 6)) < 10
    assert "All comb is protected by Mon 5 Oct 2026." in words(svg)


def test_comb_that_is_open_in_the_end_has_no_diamond_and_the_words_above_say_so(scenario, workload, plan):
    svg = winter_svg(scenario, None, workload, replace(plan, rows=plan.rows[1:]))
    assert not [p for p in group(svg, "super combs").iter(f"{SVG}path") if "l5 5" in p.get("d")]
    assert "Comb NOT all protected in time: super combs." in words(svg)


def test_comb_that_the_plan_says_it_leaves_open_is_not_called_protected(scenario, workload, plan):
    left = (LeftOver("super combs", "freeze", 20, "open"),)
    svg = winter_svg(scenario, None, workload, replace(plan, left=left))
    assert "Comb NOT all protected in time: super combs. 1 thing does not fit: crosses at the right edge." in words(svg)
    assert "20 open" in [text.text for text in group(svg, "super combs").iter(f"{SVG}text")]


def test_the_day_of_protection_never_stands_on_what_is_left(scenario, workload, plan):
    few = tuple(replace(row, pieces=1) if row.lot == "super combs" else row for row in plan.rows)
    late = tuple(replace(row, day=LAST) for row in few if row.lot == "super combs")
    left = (LeftOver("super combs", "freeze", 20, "open"),)
    svg = winter_svg(scenario, None, workload, replace(plan, rows=(*few, *late), left=left))
    at = {one.text: one for one in group(svg, "super combs").iter(f"{SVG}text")}
    (beside,) = (one for words_, one in at.items() if words_.endswith("open"))
    by = at["protect by 19 Apr"]
    assert by.get("y") != beside.get("y") or (by.get("text-anchor") == "end" and by.get("x") < beside.get("x"))


def test_what_matters_most_is_never_cut_where_comb_is_open_and_work_is_left(scenario, plan):
    long = "spare combs of the yard behind the old orchard by the river and of the one up on the hill"
    gear = {long if name == "super combs" else name: one for name, one in scenario.gear.items()}
    rows = tuple(replace(row, lot=long) if row.lot == "super combs" else row for row in plan.rows)
    left = (LeftOver(long, "freeze", 20, "open"),)
    scenario = scenario.model_copy(update={"gear": gear})
    svg = winter_svg(scenario, None, build_workload(scenario, None), replace(plan, rows=rows, left=left))
    assert "1 thing does not fit: crosses at the right edge." in words(svg)
    assert outside(svg) == []


def test_the_moth_season_starts_at_a_line_from_top_to_bottom_even_some_weeks_after_the_season(scenario, workload, plan):
    svg = winter_svg(scenario, None, workload, plan)
    lines = [one for one in read(svg).iter(f"{SVG}line") if one.get("stroke-dasharray")]
    assert [(one.get("x1"), one.get("x2")) for one in lines] == [(str(SCALE.x(MOTHS)), str(SCALE.x(MOTHS)))]
    assert "moths fly again from Tue 20 Apr" in words(svg)


def test_without_a_moth_season_there_is_no_such_line(scenario, workload, plan):
    svg = winter_svg(scenario.model_copy(update={"moths": None}), None, workload, plan)
    assert not [one for one in read(svg).iter(f"{SVG}line") if one.get("stroke-dasharray")]
    assert outside(svg) == []


def test_fit_days_on_which_nobody_comes_look_otherwise_than_those_of_work(settled, workload, plan):
    part = group(winter_svg(settled, None, workload, plan), "painting")
    fills = {path.get("fill"): boxes([path]) for path in part.iter(f"{SVG}path")}
    (one, _), (_, two) = across(date(2026, 10, 12), date(2026, 10, 14))
    assert fills[NOBODY_LOOK.fill] == across(date(2026, 10, 10))
    assert fills[FIT_LOOK.fill] == [*across(date(2026, 10, 5)), (one, two)]
    assert "painting: 5 days fit, 4 while somebody is there." in told(winter_svg(settled, None, workload, plan))


def test_a_winter_whose_work_asks_for_no_weather_has_no_strip_of_fit_days(scenario, workload, plan):
    asking = {name: task.model_copy(update={"weather": None}) for name, task in scenario.tasks.items()}
    svg = winter_svg(scenario.model_copy(update={"tasks": asking}), None, workload, plan)
    assert "Days fit for" not in words(svg)


def test_jobs_are_boxes_and_rounds_dots_that_are_filled_once_done(scenario, workload, plan):
    looks = [replace(plan.rows[-1], done=True), replace(plan.rows[-1], day=date(2026, 11, 24))]
    svg = winter_svg(scenario, None, workload, replace(plan, rows=(*plan.rows[:-1], *looks)))
    assert boxes(group(svg, "rebuild the rack"), BOX_PX) == across(date(2026, 10, 13))
    dots = [dot.get("fill") for dot in group(svg, "look at the combs").iter(f"{SVG}circle")]
    assert dots == [INK, PAPER]


def test_a_full_freezer_reaches_up_to_its_limit_and_no_further(scenario, workload, plan):
    part = group(winter_svg(scenario, None, workload, plan), "freezer")
    (area,) = (path.get("d") for path in part.iter(f"{SVG}path") if path.get("fill") == FULL_LOOK.fill)
    (limit,) = (one.get("y1") for one in part.iter(f"{SVG}line") if one.get("stroke") == INK)
    assert min(int(y) for y in re.findall(r"V(\d+)", area)) == int(limit)
    assert "most 100 % of 60 combs" in [text.text for text in part.iter(f"{SVG}text")]


def test_too_much_in_the_freezer_stands_above_its_limit_and_is_said_in_words(scenario, workload, plan):
    small = scenario.places["freezer"].model_copy(
        update={"holds": replace(scenario.places["freezer"].holds, spaces=40)}
    )
    svg = winter_svg(
        scenario.model_copy(update={"places": {**scenario.places, "freezer": small}}), None, workload, plan
    )
    part = group(svg, "freezer")
    assert [path for path in part.iter(f"{SVG}path") if path.get("fill") == OVER_LOOK.fill]
    assert [text.text for text in part.iter(f"{SVG}text") if text.text.startswith("TOO FULL: 150 %")]


def test_hours_called_are_told_week_by_week_and_in_all_beside_those_offered(scenario, workload, plan):
    svg = winter_svg(scenario, None, workload, plan)
    all_ = everybody(workload, plan)
    assert (all_.used, all_.open) == (
        {date(2026, 10, 5): pytest.approx(1.1), date(2026, 10, 12): pytest.approx(92 / 60 + 4), date(2026, 11, 2): 0.5},
        {date(2026, 10, 5): 8, date(2026, 10, 12): 24},
    )
    assert {"1.1", "5.5", "0.5", "7 of 32 h offered"} <= set(words(svg))
    assert [path for path in read(svg).iter(f"{SVG}path") if path.get("fill") == CALLED_LOOK.fill]


def test_what_must_be_done_and_is_not_has_a_cross_and_what_is_only_left_out_has_none(scenario, workload, plan):
    rows = tuple(replace(row, pieces=8) if row.step == "scrape" else row for row in plan.rows[:-1])
    svg = winter_svg(scenario, None, workload, replace(plan, rows=rows))
    boxes_, job = group(svg, "brood boxes"), group(svg, "look at the combs")
    assert "4 left out" in [text.text for text in boxes_.iter(f"{SVG}text")]
    assert "1× left out" in [text.text for text in job.iter(f"{SVG}text")]
    assert not [p for p in boxes_.iter(f"{SVG}path") if "m0 -8" in p.get("d")]
    undone = winter_svg(scenario, None, workload, replace(plan, rows=plan.rows[:2]))
    assert [p for p in group(undone, "brood boxes").iter(f"{SVG}path") if "m0 -8" in p.get("d")]
    assert "12 undone" in [text.text for text in group(undone, "brood boxes").iter(f"{SVG}text")]


def test_an_empty_plan_is_a_picture_that_says_so(scenario, workload, plan):
    svg = winter_svg(scenario, None, workload, replace(plan, rows=(), aims=()))
    assert "Comb NOT all protected in time: super combs. The plan holds no work." in words(svg)
    assert [boxes(group(svg, name), BOX_PX) for name in scenario.gear] == [[], []]
    assert outside(svg) == []


def test_what_the_plan_holds_of_lots_and_days_the_scenario_does_not_know_is_not_passed_over(scenario, workload, plan):
    strange = Row(date(2026, 10, 6), time(9), time(10), ("Ines",), "a lot of before", "grind", 5)
    svg = winter_svg(
        scenario, None, workload, replace(plan, rows=(*plan.rows, strange, replace(strange, day=date(2031, 1, 1))))
    )
    assert boxes(group(svg, "a lot of before"), BOX_PX) == across(date(2026, 10, 6))
    assert f"1 row of the plan on other days: not shown here. {LAST_WORD}" in words(svg)


def test_every_kind_of_work_is_in_the_legend_with_its_letters(scenario, workload, plan):
    told_ = words(winter_svg(scenario, None, workload, plan))
    legend = told_[told_.index("Kinds of work") :]
    assert legend[1:7] == ["sc", "scrape", "fc", "first coat", "fr", "freeze"]


def test_months_are_named_above_and_below(scenario, workload, plan):
    told_ = words(winter_svg(scenario, None, workload, plan))
    for month in ("Nov 2026", "Dec 2026", "Jan 2027", "Feb 2027", "Mar 2027"):
        assert told_.count(month) == 2


def test_those_who_have_it_read_to_them_hear_each_lot_and_the_main_figures(scenario, workload, plan):
    svg = winter_svg(scenario, None, workload, plan)
    root = read(svg)
    assert root.get("role") == "img"
    assert root.get("aria-labelledby").split() == [
        root.find(f"{SVG}title").get("id"),
        root.find(f"{SVG}desc").get("id"),
    ]
    for sentence in (
        "Mon 5 Oct 2026 to Wed 31 Mar 2027. All comb is protected by Mon 5 Oct 2026.",
        "Help: 7 of 32 hours offered are called.",
        "freezer: at most 100 % full in the evening.",
        "brood boxes: scrape on 1 day, 5 Oct; first coat on 1 day, 12 Oct.",
        "It must be protected by Mon 19 Apr and is protected on Mon 5 Oct.",
        "rebuild the rack: on 1 day, 13 Oct.",
    ):
        assert sentence in told(svg)


# whole, safe and small


def test_every_id_begins_with_that_of_the_picture_and_every_pattern_used_is_there(scenario, workload, plan):
    svg = winter_svg(scenario, None, workload, plan)
    ids = [element.get("id") for element in read(svg).iter() if element.get("id")]
    assert all(one.startswith(IDS) for one in ids)
    assert len(ids) == len(set(ids))
    assert set(re.findall(r"url\(#(.*?)\)", svg)) <= set(ids)
    assert not re.search(r"<script|<image|<style|<foreignObject|href|\son\w+=|@import|data:", svg)
    assert re.findall(r"https?://[^\"]*", svg) == ["http://www.w3.org/2000/svg"]


def odd_winter(name, until="2027-03-31", kinds=1):
    """A winter in which everything has this name."""
    tasks = {f"{name[:110]}{n or ''}": {"minutes_each": 6, "weather": name[:120]} for n in range(kinds)}
    return Scenario.model_validate(
        {
            "season": {"name": name[:120], "from": "2026-10-05", "until": until},
            "moths": {"season_starts": "2026-12-20", "season_ends": "2026-10-10"},
            "crew": {name[:120]: {"works": {"mon-sun": "09:00-13:00"}}},
            "places": {name[:120]: {"holds": "600 combs", "celsius": -18}},
            "tasks": tasks,
            "gear": {
                name[:120]: {"piece": "medium comb", "count": 9, "rests": name[:120], "steps": list(tasks)},
                f"2{name[:119]}": {"piece": "medium comb", "count": 9, "comb": "brood", "steps": list(tasks)},
            },
            "jobs": {f"{name[:119]}j": {"hours": 2}},
            "rounds": {f"{name[:119]}r": {"every": "30 d", "minutes": 30}},
            "weather": {"windows": {name[:120]: {"2026-10-06": ["10:00-12:00"]}}},
        }
    )


def every_day(workload, share, most=10**9):
    """A plan in which work is done on ``share`` of all days to each lot and step, on days drawn for each."""
    drawn = np.random.default_rng(5)
    days = sorted({session.day for session in workload.sessions})
    rows = [
        Row(day, time(9), time(10), (workload.helpers[0].name,), lot.stated, step.task, 1)
        for lot in workload.lots
        for step in lot.steps
        for day in ([lot.period[0]] if lot.period else days)
        if drawn.random() < share
    ]
    return Plan("winter.yaml", "0" * 64, MADE, "by hand", False, (), tuple(rows[:most]))


@pytest.mark.parametrize("name", [*HOSTILE, "קופסאות עמוקות " * 9, "\u202eevil\u202c", "x" * 120])
def test_names_cannot_break_out_of_it(name):
    scenario = odd_winter(name)
    workload = build_workload(scenario)
    svg = winter_svg(scenario, None, workload, every_day(workload, 0.3))
    root = read(svg)
    assert {element.tag for element in root.iter()} <= {f"{SVG}{tag}" for tag in TAGS}
    assert outside(svg) == []
    assert all(c.isprintable() for element in root.iter() for c in (element.text or "").replace("\n", ""))


@pytest.mark.parametrize("until", ["2026-10-05", "2026-10-11", "2027-01-10", "2027-10-04", "2029-10-04"])
@pytest.mark.parametrize("kinds", [1, 30])
def test_nothing_reaches_over_the_edge_in_a_short_or_a_long_winter_with_few_or_many_kinds_of_work(until, kinds):
    scenario = odd_winter("scrape", until, kinds)
    workload = build_workload(scenario)
    for share in (0, 0.5):
        svg = winter_svg(scenario, None, workload, every_day(workload, share))
        assert outside(svg) == []
        assert read(svg).get("width") == str(WIDTH)


@pytest.mark.parametrize("name", ["hobby", "sideline", "commercial"])
def test_the_winters_that_come_with_the_program_are_pictures_below_a_hundred_kilobytes(name):
    path = SCENARIOS / f"{name}.yaml"
    scenario, outlook = settle(read_scenario(path), path.parent)
    workload = build_workload(scenario, outlook)
    svg = winter_svg(scenario, outlook, workload, every_day(workload, 0.3, 3_000))
    assert outside(svg) == []
    assert len(svg.encode()) < 100_000


@pytest.mark.slow
def test_a_plan_that_keeps_every_promise_is_drawn_with_nothing_undone_and_no_place_too_full():
    winter = shipped("hobby")
    assert audit(winter.scenario, winter.plan, winter.outlook) == ()
    told_ = words(winter_svg(winter.scenario, winter.outlook, winter.workload, winter.plan))
    assert not [word for word in told_ if word.endswith(("undone", "late", "open")) or word.startswith("TOO FULL")]
    assert [word for word in told_ if word.startswith("All comb is protected by")]


# readable without colours


def test_words_stand_out_from_paper_and_from_the_ground_of_a_lot_as_wcag_asks(scenario, workload, plan):
    for ground in (PAPER, LOT_GROUND):
        assert min(contrast(INK, ground), contrast(QUIET_INK, ground)) >= 4.5  # WCAG 2.2, 1.4.3
    root = read(winter_svg(scenario, None, workload, plan))
    assert {text.get("fill", root.get("fill")) for text in root.iter(f"{SVG}text")} <= {INK, QUIET_INK}
    assert min(float(text.get("font-size")) for text in root.iter(f"{SVG}text")) >= 11


@pytest.mark.parametrize("eyes", ["any", *EYES])
@pytest.mark.parametrize(("one", "other"), [*combinations(KIND_LOOKS, 2)])
def test_two_kinds_of_work_differ_in_their_pattern_or_else_are_dark_and_pale(one, other, eyes):
    apart = abs(luminance(seen(one.paper, eyes)) - luminance(seen(other.paper, eyes)))
    assert one.hatch != other.hatch or apart > 0.5


@pytest.mark.parametrize("eyes", ["any", *EYES])
def test_kinds_of_work_that_follow_one_another_have_other_patterns_and_in_a_dozen_are_pale_and_dark_by_turns(eyes):
    for number, (one, other) in enumerate(pairwise(KIND_LOOKS), 1):
        assert one.hatch != other.hatch
        if number != len(KIND_LOOKS) // 2:
            assert abs(luminance(seen(one.paper, eyes)) - luminance(seen(other.paper, eyes))) > 0.5


@pytest.mark.parametrize("eyes", ["any", *EYES])
@pytest.mark.parametrize("look", [look for look in (*KIND_LOOKS, *OTHER_LOOKS) if look.hatch])
def test_each_pattern_can_be_seen_on_its_ground_whatever_the_eyes(look, eyes):
    assert contrast(seen(look.ink, eyes), seen(look.paper, eyes)) >= 3  # WCAG 2.2, 1.4.11


@pytest.mark.parametrize("eyes", ["any", *EYES])
@pytest.mark.parametrize(("one", "other"), [(FIT_LOOK, NOBODY_LOOK), (FULL_LOOK, OVER_LOOK)])
def test_what_stands_side_by_side_differs_in_pattern_and_in_grey(one, other, eyes):
    assert one.hatch != other.hatch
    assert contrast(seen(one.paper, eyes), seen(other.paper, eyes)) >= 3


def test_every_pattern_is_of_its_own():
    half = KIND_LOOKS[: len(KIND_LOOKS) // 2]
    assert len({look.hatch for look in half}) == len(half)
    assert len({(look.hatch, look.paper) for look in KIND_LOOKS}) == len(KIND_LOOKS)


def test_beyond_the_last_pattern_they_begin_again_and_the_letters_still_differ():
    kinds = [f"work {n}" for n in range(60)]
    assert looks_of(kinds)["work 24"].fill == looks_of(kinds)["work 0"].fill
    assert len(set(letters_of(kinds).values())) == 60


@pytest.mark.parametrize(
    ("kinds", "letters"),
    [
        (["scrape", "second coat", "seal"], ["sc", "se", "sa"]),
        (["scrape", "sort combs"], ["sc", "so"]),
        (["wire and wax", "wash and dry"], ["ww", "wd"]),
        (["!!", "--"], ["1", "2"]),
        (["x", "X"], ["1", "2"]),
        (["čistit", "natřít rám"], ["či", "nr"]),
    ],
)
def test_letters_come_from_the_name_and_are_never_taken_twice(kinds, letters):
    assert list(letters_of(kinds).values()) == letters


@pytest.mark.slow
@given(st.lists(st.text(max_size=20), max_size=40, unique=True))
def test_whatever_kinds_of_work_are_called_no_two_have_the_same_letters(kinds):
    letters = letters_of(kinds)
    assert len({short.casefold() for short in letters.values()}) == len(kinds)
    assert all(0 < len(short) <= 2 for short in letters.values())


def test_days_are_drawn_in_order_and_within_the_plot():
    edges = [SCALE.x(FIRST + timedelta(days=n)) for n in range(SCALE.days + 1)]
    assert edges == sorted(set(edges))
    assert (edges[0], edges[-1]) == (PLOT_LEFT, SCALE.right)


def strip(lot):
    kinds = [lane.step for lane in lot.lanes]
    return lot_strip(lot, SCALE, looks_of(kinds), letters_of(kinds), 0)


def test_gear_that_comes_only_after_the_winter_has_no_days_to_lie_in():
    late = LotShown("frames", 40, LAST + timedelta(days=30), (Lane("wire", frozenset(), frozenset()),), None)
    assert LOT_GROUND in "".join(strip(replace(late, arrives=FIRST)).behind)
    assert strip(late).behind == []
    assert "frames" in "".join(strip(late).front)


def test_where_every_lane_is_full_the_diamond_of_protected_comb_gets_one_of_its_own():
    day = date(2026, 11, 3)
    lane = Lane("freeze", frozenset({day}), frozenset())
    busy = replace(lane, to_come=frozenset(day + timedelta(days=n) for n in range(9)))
    comb = CombSafety("combs", 60, True, day, None)
    alone, full = (strip(LotShown("combs", 60, FIRST, (one,), comb)) for one in (lane, busy))
    assert full.height - alone.height >= LANE_PX - 2
    assert "protect by" not in "".join(full.front)  # no day is known by which it has to be
