"""The audit of comb at its edges: the last minute it may lie open, the last day a treatment lasts, a single comb."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from offseason.plan.audit import audit
from offseason.plan.document import LeftOver
from tests.plan.outdoors import FIRST, from_means
from tests.plan.outdoors import assert_breaks as assert_breaks_in
from tests.plan.outdoors import assert_keeps as assert_keeps_in
from tests.plan.winters import assert_breaks, assert_finds, assert_keeps, changed, plan, winter

# Moths fly until 20 October: comb off the hives on the 5th must be safe 7 days later, by the end of the 12th (derived).
WINTER = """
season: {from: 2026-10-05, until: 2026-11-06}
moths: {season_starts: 2027-04-20, season_ends: 2026-10-20}
crew: {Ines: {works: {every day: 00:00-23:59}}}
places: {loft: {celsius: 8..18}, freezer: {celsius: -18}}
tasks:
  freeze: {minutes_each: 1, kills: true, then: {wait: freezer stay, in: freezer}}
  seal: {minutes_each: 1, seals: true, then: {in: loft}}
gear: {combs: {piece: deep comb, count: 1, comb: dry, rests: loft, steps: [freeze, seal]}}
"""
LATE = """
2026-10-13 09:00-09:01 | Ines | freeze 1 of combs
2026-10-15 09:00-09:01 | Ines | seal 1 of combs
"""


def told(scenario: str, rows: str, *left: LeftOver) -> list[tuple[str, str]]:
    """What the audit says of a plan that says it leaves this."""
    return [(str(b.promise), b.text) for b in audit(winter(scenario), replace(plan(rows), left=left))]


def late(pieces: int, step: str = "treat") -> LeftOver:
    return LeftOver("combs", step, pieces, "late")


def test_a_single_comb_left_open_for_a_single_night_is_named():
    says = (
        "1 comb is open to moths at the end of Mon 2026-10-12 and 1 day in all, as it came in loft;"
        " all must be protected by the end of Mon 2026-10-12"
    )
    assert_breaks(WINTER, LATE, "protection", 1, says=says)
    assert_keeps(WINTER, LATE.replace("10-13", "10-12"))


def test_comb_that_came_in_to_no_place_in_particular_is_named_without_one():
    assert_breaks(changed(WINTER, "rests: loft, ", ""), LATE, "protection", 1, says="1 day in all, as it came; all")


def test_a_comb_taken_up_at_the_stroke_of_midnight_is_taken_up_in_time_and_the_next_a_minute_later_is_not():
    rows = changed(LATE, "2026-10-13 09:00-09:01", "2026-10-13 00:00-00:01")
    assert_keeps(WINTER, rows)
    both = rows.replace("00:00-00:01", "00:00-00:02").replace("09:00-09:01", "09:00-09:02").replace(" 1 of", " 2 of")
    assert_breaks(changed(WINTER, "count: 1,", "count: 2,"), both, "protection", 1, says="1 comb is open to moths")


def test_a_row_of_no_combs_makes_none_safe_and_is_not_the_one_that_comes_too_late():
    rows = "2026-10-13 08:00-08:01 | Ines | freeze 0 of combs" + LATE
    assert_breaks(WINTER, rows, "protection", 2, says="1 comb is open")


def test_work_on_a_share_of_the_combs_does_not_stand_in_the_way_of_their_protection():
    mended = changed(WINTER, "tasks:\n", "tasks:\n  mend: {minutes_each: 1, share: 50%}\n")
    mended = changed(
        mended, "count: 1, comb: dry, rests: loft, steps: [", "count: 2, comb: dry, rests: loft, steps: [mend, "
    )
    rows = """
2026-10-05 08:00-08:01 | Ines | mend 1 of combs
2026-10-05 09:00-09:02 | Ines | freeze 2 of combs
2026-10-06 10:00-10:02 | Ines | seal 2 of combs
"""
    assert_keeps(mended, rows)


def test_the_last_row_of_the_day_that_opened_comb_again_is_the_one_named():
    opened = changed(WINTER, "gear:", "  sort: {minutes_each: 1}\ngear:")
    opened = changed(
        opened,
        "count: 1, comb: dry, rests: loft, steps: [freeze, seal]",
        "count: 4, comb: dry, rests: loft, steps: [freeze, seal, sort]",
    )
    rows = """
2026-10-05 09:00-09:04 | Ines | freeze 4 of combs
2026-10-06 10:00-10:04 | Ines | seal 4 of combs
2026-10-16 09:00-09:01 | Ines | sort 1 of combs
2026-10-16 10:00-10:01 | Ines | sort 1 of combs
2026-10-16 11:00-11:01 | Ines | sort 1 of combs
2026-10-17 00:00-00:01 | Ines | sort 1 of combs
"""
    says = "up to 4 combs are open to moths at the end of Fri 2026-10-16 and 22 days in all, after sort in loft"
    assert_breaks(opened, rows, "protection", 5, says=says)


def test_comb_that_no_cold_has_cleaned_is_not_safe_for_being_sealed_within_a_day():
    unfrozen = changed(
        WINTER,
        "  freeze: {minutes_each: 1, kills: true, then: {wait: freezer stay, in: freezer}}",
        "  sort: {minutes_each: 1}",
    )
    unfrozen = changed(changed(unfrozen, "[freeze, seal]", "[sort, seal]"), "seals: true", "seals: true, within: 24 h")
    rows = """
2026-10-12 09:00-09:01 | Ines | sort 1 of combs
2026-10-13 08:00-08:01 | Ines | seal 1 of combs
"""
    found = assert_finds(unfrozen, rows, ("protection", 2), ("protection", 2))
    assert "at the end of Mon 2026-10-12 and 1 day in all, after sort in loft" in found[0].text
    assert "at the end of Tue 2026-10-13 and 25 days in all, after seal in loft" in found[1].text


THAWED = """
2026-10-05 09:00-09:01 | Ines | freeze 1 of combs
2026-10-12 09:00-09:01 | Ines | take out 1 of combs
2026-10-13 08:00-08:01 | Ines | sort 1 of combs
2026-10-13 10:00-10:01 | Ines | seal 1 of combs
"""


def test_comb_sorted_within_a_day_of_the_freezer_is_not_thereby_closed_while_it_thaws():
    sorted_first = changed(
        WINTER,
        "  seal:",
        "  take out: {minutes_each: 1, then: {in: loft}}\n  sort: {minutes_each: 1, within: 24 h}\n  seal:",
    )
    sorted_first = changed(sorted_first, "[freeze, seal]", "[freeze, take out, sort, seal]")
    found = assert_finds(sorted_first, THAWED, ("protection", 3), ("protection", 4))
    assert "1 comb is open to moths at the end of Mon 2026-10-12 and 1 day in all, after take out" in found[0].text


def test_comb_said_to_come_late_out_of_the_freezer_is_not_said_to_lie_open_afterwards():
    slow = changed(
        WINTER,
        "  seal: {minutes_each: 1, seals: true,",
        "  take out: {minutes_each: 1, within: 3 d, then: {in: loft}}\n  seal: {minutes_each: 1, seals: true,",
    )
    slow = changed(slow, "[freeze, seal]", "[freeze, take out, seal]")
    rows = """
2026-10-05 09:00-09:01 | Ines | freeze 1 of combs
2026-10-09 09:00-09:01 | Ines | take out 1 of combs
2026-10-14 09:00-09:01 | Ines | seal 1 of combs
"""
    found = told(slow, rows, late(1, "take out"))
    assert [promise for promise, _ in found] == ["protection", "protection"]
    assert "after take out in loft" in found[0][1]
    assert [p for p, _ in told(slow, rows)] == ["not too late after", "protection", "protection"]


def test_comb_that_nothing_is_asked_of_is_not_said_to_lie_open():
    unasked = changed(WINTER, "moths: {season_starts: 2027-04-20, season_ends: 2026-10-20}\n", "")
    ((promise, text),) = told(unasked, LATE, LeftOver("combs", "freeze", 1, "open"))
    assert promise == "left over"
    assert text.endswith("no comb of it is open to moths at the end of any day it should not be")


TREATED = changed(
    changed(WINTER, "2026-11-06", "2026-10-23"),
    "  seal: {minutes_each: 1, seals: true, then: {in: loft}}",
    "  treat: {minutes_each: 1, protects: 1 w, treatment: sulphur, authorised: true, then: {in: loft}}",
).replace("[freeze, seal]", "[treat]")


def test_a_treatment_worn_off_before_the_first_day_it_is_asked_for_may_be_told_as_renewed_too_late():
    rows = """
2026-10-05 09:00-09:01 | Ines | treat 1 of combs
2026-10-13 09:00-09:01 | Ines | treat 1 of combs
2026-10-19 09:00-09:01 | Ines | treat 1 of combs
"""
    assert_breaks(TREATED, rows, "protection", 2, says="1 day in all, when treat no longer protects in loft")
    assert told(TREATED, rows, late(1)) == []


LASTING = """
2026-10-09 09:00-09:01 | Ines | treat 1 of combs
2026-10-16 08:59-09:00 | Ines | treat 1 of combs
2026-10-23 12:00-12:01 | Ines | treat 1 of combs
"""


def test_a_treatment_that_wears_off_on_the_last_morning_may_be_told_as_renewed_too_late():
    assert told(TREATED, LASTING) == []
    assert told(TREATED, LASTING, late(1)) == []


def test_a_treatment_renewed_in_the_very_minute_it_wears_off_is_not_late():
    rows = LASTING.replace("08:59-09:00", "09:00-09:01").replace("12:00-12:01", "09:00-09:01")
    assert told(TREATED, rows) == []
    ((promise, text),) = told(TREATED, rows, late(1))
    assert (promise, text.endswith("this work comes too late for no piece of it")) == ("left over", True)


def test_a_treatment_that_wears_off_as_the_last_day_ends_leaves_comb_open_and_is_not_late():
    # In the week the clocks go forward seven days end an hour later by the clock: at midnight after 2 April.
    spring = TREATED.replace("season_ends: 2026-10-20", "season_ends: 2026-03-20").replace("2027-04-20", "2027-03-26")
    spring = changed(
        spring, "from: 2026-10-05, until: 2026-10-23", "from: 2027-03-22, until: 2027-04-02, timezone: CET"
    )
    rows = """
2027-03-25 22:59-23:00 | Ines | treat 1 of combs
2027-03-26 22:59-23:00 | Ines | treat 1 of combs
"""
    assert [promise for promise, _ in told(spring, rows)] == ["protection"]
    assert told(spring, rows, LeftOver("combs", "treat", 1, "open")) == []
    assert [promise for promise, _ in told(spring, rows, late(1))] == ["left over"]
    assert told(spring, rows.replace("26 22:59-23:00", "26 23:00-23:01")) == []


@pytest.mark.parametrize(
    ("until", "pieces"),
    [
        ("2026-10-26", "are 6 pieces"),  # four half weeks, and an hour where the clocks go back: renewed up to 5 times
        ("2026-10-12", "is 1 piece"),  # nothing is asked for after the last day: treated once
    ],
)
def test_a_treatment_may_be_renewed_as_often_as_there_are_halves_of_it_until_the_last_day(until, pieces):
    scenario = changed(TREATED, "until: 2026-10-23", f"until: {until}")
    texts = [text for _, text in told(scenario, "2026-10-08 09:00-09:20 | Ines | treat 20 of combs")]
    assert any(f"there {pieces} to do, and with this row 20 are done" in text for text in texts), texts


def test_a_treatment_that_lasts_no_time_protects_no_comb():
    rows = "2026-10-12 09:00-09:01 | Ines | treat 1 of combs"
    assert_breaks(changed(TREATED, "protects: 1 w", "protects: 0 h"), rows, "protection", 1, says="no longer protects")


def test_a_hot_loft_makes_comb_due_sooner_by_the_warmest_it_gets():
    # 30 °C: 20 degree-days a day make 75 on the fourth day, the 9th (derived); the mean of 17 °C would leave a week.
    hot = changed(WINTER, "loft: {celsius: 8..18}", "loft: {celsius: 4..30}")
    rows = LATE.replace("10-13", "10-10")
    assert_breaks(hot, rows, "protection", 1, says="all must be protected by the end of Fri 2026-10-09")
    assert_keeps(hot, rows.replace("10-10", "10-09"))


def test_pollen_comb_put_by_after_the_season_is_due_by_the_mean_of_its_loft():
    # 15 °C on average: 75 degree-days after 15 days, the day it came in counted: by the end of 9 November.
    stored = changed(changed(WINTER, "8..18", "10..20"), "comb: dry", "comb: pollen, arrives: 2026-10-26")
    stored = changed(stored, "2026-11-06", "2026-11-20")
    rows = LATE.replace("10-13", "11-10").replace("10-15", "11-13")
    assert_breaks(stored, rows, "protection", 1, says="all must be protected by the end of Mon 2026-11-09")
    assert_keeps(stored, rows.replace("11-10", "11-09"))


def test_days_beyond_the_weather_that_is_known_do_not_make_comb_due_sooner():
    # 26.5 °C in the loft: 16.5 degree-days on each of five days after the 5th make 75 on the 10th.
    airy = changed(WINTER, "loft: {celsius: 8..18}", "loft: {outdoors_plus_k: 5}")
    rows = LATE.replace("10-13", "10-11").replace("10-15", "10-13")
    airy = changed(airy, "then: {in: loft}", "then: {in: freezer}")
    known_to_the_10th = from_means(FIRST, *[21.5] * 10)
    assert known_to_the_10th.last == date(2026, 10, 10)
    assert_breaks_in(airy, rows, known_to_the_10th, "protection", 1, "by the end of Sat 2026-10-10")
    assert_keeps_in(airy, rows, from_means(FIRST, *[21.5] * 9))


def test_combs_treated_oftener_than_can_be_are_not_thereby_safe():
    short = changed(TREATED, "until: 2026-10-23", "until: 2026-10-12")
    rows = """
2026-10-05 09:00-09:01 | Ines | treat 1 of combs
2026-10-12 10:00-10:01 | Ines | treat 1 of combs
"""
    assert_finds(short, rows, ("count", 2), ("protection", 2))


def test_a_treatment_comes_late_no_oftener_than_it_can_be_renewed():
    assert told(TREATED, LASTING, late(5)) == []
    ((promise, text),) = told(TREATED, LASTING, late(6))
    assert (promise, text) == ("count", "what is left, treat of combs (late 6): there are only 5 pieces")


def test_of_two_combs_said_to_lie_open_the_one_that_does_is_told():
    two = changed(changed(WINTER, "count: 1,", "count: 2,"), "celsius: -18", "celsius: -18, whole_loads: false")
    rows = "2026-10-12 09:00-09:01 | Ines | freeze 1 of combs" + LATE.replace("seal 1", "seal 2")
    rows = rows.replace("2026-10-15 09:00-09:01", "2026-10-15 09:00-09:02")
    ((promise, text),) = told(two, rows, LeftOver("combs", "freeze", 2, "open"))
    says = "at most 1 of its combs is open to moths at the end of any such day"
    assert (promise, text) == ("left over", f"what is left, freeze of combs (open 2): {says}")
    assert told(two, rows, LeftOver("combs", "freeze", 1, "open")) == []


@pytest.mark.parametrize(("celsius", "kept"), [("4..12", True), ("4..13", False)])
def test_comb_treated_for_a_week_and_put_where_moths_do_not_grow_need_not_be_treated_again(celsius, kept):
    """From 12 °C down they do not: Swiss bee health service, leaflet 4.4.2."""
    cellar = changed(TREATED, "loft: {celsius: 8..18}", f"loft: {{celsius: {celsius}}}")
    rows = "2026-10-12 09:00-09:01 | Ines | treat 1 of combs"
    if kept:
        assert_keeps(cellar, rows)
    else:
        assert_breaks(cellar, rows, "protection", 1, says="no longer protects")


def test_of_comb_that_is_safe_wherever_it_lies_not_one_is_open():
    cold = changed(WINTER, "loft: {celsius: 8..18}", "loft: {celsius: 4}")
    ((promise, text),) = told(cold, LATE.replace("10-13", "10-12"), LeftOver("combs", "freeze", 1, "open"))
    assert promise == "left over"
    assert "no comb of it is open to moths" in text
