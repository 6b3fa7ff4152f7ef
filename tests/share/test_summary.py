"""What the keeper reads at the end of planning."""

from dataclasses import replace
from datetime import date, time

import pytest

from offseason.plan.document import Aim, Row
from offseason.scenario.words import Celsius
from offseason.share.terminal import summary
from offseason.trade.cautions import CAUTIONS, LAST_WORD

DAY_S = 86_400


@pytest.fixture
def text(scenario, workload, plan):
    return summary(scenario, workload, plan)


def flat(text):
    return " ".join(text.split())


def test_summary_says_by_when_all_comb_is_protected_and_how_many_days_are_in_hand(text):
    assert (
        "all protected (60 combs) by Mon 5 Oct 2026: 197 days in hand before the moth season starts on Tue 20 Apr 2027"
        in flat(text)
    )


def test_summary_says_loudly_which_comb_is_not_protected(scenario, workload, plan):
    assert "NOT protected at the end of the plan: super combs" in flat(
        summary(scenario, workload, replace(plan, rows=plan.rows[1:]))
    )


def test_summary_says_which_work_did_not_fit_and_that_it_was_optional(text):
    assert "scrape: 4 of 12 brood boxes, 0.4 h (could)" in text
    assert "look at the combs: 1 of 1 time, 0.5 h (should)" in text


def test_summary_says_so_when_all_work_fits(scenario, workload, plan):
    more = (
        Row(date(2026, 10, 14), time(9), time(9, 24), ("Ines",), "brood boxes", "scrape", 4, "bench"),
        Row(date(2026, 10, 14), time(10), time(10, 30), ("Ines",), "look at the combs", "look at the combs", 1),
    )
    assert "nothing: all the work fits" in summary(scenario, workload, replace(plan, rows=plan.rows + more))


def test_summary_says_who_comes_on_which_days_for_how_many_hours(text):
    assert "Ines 2 days, 3.1 h of the 16.0 h offered Oct 2026: 5, 13" in flat(text)
    assert "2 days, 3.5 h of the 16.0 h offered Oct 2026: 12-13" in flat(text)


def test_summary_names_the_bottleneck_with_its_per_cent_and_weeks(text):
    assert "Bottleneck     space in freezer: 100 % taken in the week from Mon 5 Oct" in text


def test_summary_says_how_far_from_the_best_possible_the_plan_can_be(text):
    assert "at most 2.9 % away (in done early)" in text


@pytest.mark.parametrize(
    ("gap", "proven", "said"),
    [(0, True, "this is it: proven that no plan does better"), (0.04, False, "less than 0.1 % away")],
)
def test_summary_never_rounds_a_gap_to_nothing(scenario, workload, plan, gap, proven, said):
    near = replace(plan, proven=proven, aims=(Aim("done early", "piece-days", 100, 100, gap),))
    assert said in summary(scenario, workload, near)


def test_summary_lists_paint_by_the_litre_with_the_day_to_order_it_by(text):
    # 12 deep boxes of 0.4486 m², one coat at 9 m² a litre and 10 % waste (sizes and waste: not confirmed): 0.658 L
    assert "Mon 5 Oct 2026 0.7 L oil paint Mon 12 Oct 2026 -" in flat(text)


def test_summary_says_to_warm_foundation_before_it_is_fitted(scenario, workload, plan):
    bench = scenario.places["bench"].model_copy(update={"celsius": Celsius(8, 20)})
    scrape = scenario.tasks["scrape"].model_copy(update={"uses": {"foundation sheets": 1}})
    cold = scenario.model_copy(
        update={"places": {"bench": bench}, "tasks": {**scenario.tasks, "scrape": scrape}},
    )
    told = "scrape: foundation is worked at bench, which gets as cold as 8 °C, and it breaks below 18 °C"
    assert told in flat(summary(cold, workload, plan))


def test_summary_shows_each_caution_of_hazardous_work_once(text):
    for key in ("lead", "dust", "solvents", "oily rags"):
        assert flat(text).count(CAUTIONS[key]) == 1


def test_summary_ends_with_the_last_word(text):
    assert flat(text).endswith(LAST_WORD)


def test_summary_fits_eighty_columns_with_a_long_name(text):
    assert max(map(len, text.splitlines())) <= 80
    assert 'Noël "the Younger", of Farther Quillet' in text


def test_a_plan_without_a_moth_season_says_that_no_protection_is_planned(scenario, workload, plan):
    no_comb = replace(workload, lots=workload.lots[:1])
    text = summary(scenario.model_copy(update={"moths": None}), no_comb, plan)
    assert "no moth season is given, so no protection is planned" in text


@pytest.mark.parametrize("files", [{"forecast": ("week.csv",)}, {"history": ("polar.csv",)}])
def test_where_weather_files_do_not_tell_of_moths_that_is_the_reason_and_what_to_write_is_said(
    scenario, workload, plan, files
):
    no_comb = replace(workload, lots=workload.lots[:1])
    weather = scenario.weather.model_copy(update=files)
    text = flat(summary(scenario.model_copy(update={"moths": None, "weather": weather}), no_comb, plan))
    assert "the weather files do not tell when moths fly, so no protection is planned" in text
    assert "write moths: and in it season_starts: with the day they first fly here" in text
    assert "no moth season is given" not in text


def test_summary_says_plainly_where_one_person_alone_is_planned_for_hot_wax(scenario, workload, plan):
    melting = replace(plan, rows=(replace(plan.rows[1], step="melt"),))
    with_melt = scenario.model_copy(update={"tasks": {**scenario.tasks, "melt": scenario.tasks["scrape"]}})
    told = "melt: planned for one person alone: give it `hands: 2`."
    assert told in flat(summary(with_melt, workload, melting))
    together = replace(plan, rows=(replace(melting.rows[0], who=plan.rows[3].who),))
    assert told not in flat(summary(with_melt, workload, together))


def test_comb_that_no_work_has_to_make_safe_was_safe_when_it_came(scenario, workload, plan):
    sealed = replace(workload.lots[1], steps=(), protected=True)
    text = flat(summary(scenario, replace(workload, lots=(workload.lots[0], sealed)), plan))
    assert "Comb 60 combs, protected ever since they arrived" in text


def test_comb_that_is_safe_only_after_its_day_is_told_with_the_day_it_had_to_be(scenario, workload, plan):
    late = replace(workload.lots[1], treat_by_s=5 * DAY_S)  # until the end of the ninth
    frozen = replace(plan, rows=(replace(plan.rows[0], day=date(2026, 10, 12)),))
    text = flat(summary(scenario, replace(workload, lots=(late,)), frozen))
    assert "all protected (60 combs) by Mon 12 Oct 2026; super combs had to be by Fri 9 Oct 2026" in text
