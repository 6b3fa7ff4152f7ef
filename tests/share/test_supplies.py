"""The list of what to order, as it is read."""

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from offseason.plan.supplies import Supply
from offseason.scenario.model import CombClass, SupplyEntry
from offseason.scenario.supply import SupplyKind
from offseason.share.terminal import Selection, show_text
from offseason.share.terminal.supplies import amount_text, supplies_text
from offseason.trade.cautions import LAST_WORD


def flat(text):
    return " ".join(text.split())


def what(text):
    """The column of what to order, its wrapped cells put together again."""
    lines = text.splitlines()
    starts, ends = lines[1].index("what"), lines[1].index("first needed")
    return flat(" ".join(line[starts:ends] for line in lines[2:]))


def with_supplies(scenario, **entries):
    entries = {name.replace("_", " "): SupplyEntry.model_validate(entry) for name, entry in entries.items()}
    return scenario.model_copy(update={"supplies": entries})


def with_tasks(scenario, changes):
    tasks = {name: task.model_copy(update=changes.get(name, {})) for name, task in scenario.tasks.items()}
    return scenario.model_copy(update={"tasks": tasks})


def paint(litres):
    return Supply("latex paint", SupplyKind.PAINT, litres, "L", date(2026, 10, 12))


@pytest.mark.parametrize(("litres", "said"), [(0.61, "0.7 L"), (0.6, "0.6 L"), (0.1 + 0.2, "0.3 L"), (0.01, "0.1 L")])
def test_paint_is_rounded_up_for_a_tin_too_few_spoils_the_day(litres, said):
    assert amount_text(paint(litres)) == said


def test_a_line_says_what_to_order_by_when_how_much_of_it_and_what_is_in_hand(scenario, plan):
    text = flat(supplies_text(with_supplies(scenario, oil_paint={"in_hand": 0.3}), plan))
    assert "order by buy what first needed in hand" in text
    assert "Mon 5 Oct 2026 0.4 L oil paint Mon 12 Oct 2026 0.3 L" in text


def test_the_list_says_which_lead_time_is_ours(scenario, plan):
    ours = "Ordered 7 days ahead (ours) where no lead_time stands"
    assert ours in flat(supplies_text(scenario, plan))
    assert ours not in flat(supplies_text(with_supplies(scenario, oil_paint={"lead_time": "7 d"}), plan))


def test_the_list_says_how_sure_the_litres_are_unless_the_tin_says_it(scenario, plan):
    sure = "a litre for 9 m² of smooth wood (published; rough wood: 5) and 10 % waste (from memory, not confirmed)"
    assert sure in flat(supplies_text(scenario, plan))
    assert sure not in flat(supplies_text(with_supplies(scenario, oil_paint={"m2_per_litre": 8}), plan))


def test_what_had_to_be_ordered_before_the_season_is_marked_order_now(scenario, plan):
    long_before = replace(plan, made=datetime(2026, 8, 1, tzinfo=UTC))
    slow = with_supplies(scenario, oil_paint={"lead_time": "14 d"})
    assert "order now 0.7 L oil paint Mon 12 Oct 2026 -" in flat(supplies_text(slow, long_before))


def test_what_had_to_be_ordered_before_the_plan_was_made_is_marked_order_now(scenario, plan):
    assert "order now" not in supplies_text(scenario, plan)
    assert "order now" in supplies_text(scenario, replace(plan, made=datetime(2026, 10, 6, tzinfo=UTC)))


def test_what_comes_too_late_even_when_ordered_with_the_plan_says_by_how_much(scenario, plan):
    # made on 1 October, needed on the 12th: 14 days make it the 15th
    slow = with_supplies(scenario, oil_paint={"lead_time": "14 d"})
    assert "oil paint: 3 days late if ordered the day this plan was made" in what(supplies_text(slow, plan))
    assert "late" not in what(supplies_text(with_supplies(scenario, oil_paint={"lead_time": "11 d"}), plan))


def test_what_is_in_hand_needs_no_order(scenario, plan):
    text = flat(supplies_text(with_supplies(scenario, oil_paint={"in_hand": 5}), plan))
    assert "in hand none oil paint Mon 12 Oct 2026 5.0 L" in text


def test_each_coat_of_a_paint_is_told_behind_it(scenario, plan):
    twice = with_tasks(scenario, {"scrape": {"paint": "oil"}})
    assert "oil paint: scrape 0.44 L and first coat 0.66 L" in what(supplies_text(twice, plan))


def test_gear_of_unknown_wall_area_is_named_with_what_to_write(scenario, plan):
    boxes = scenario.gear["brood boxes"].model_copy(update={"piece": "home-made box", "kind": "woodenware"})
    unknown = scenario.model_copy(update={"gear": {**scenario.gear, "brood boxes": boxes}})
    text = supplies_text(unknown, plan)
    assert "Mon 5 Oct 2026 ? oil paint" in flat(text)
    assert "without brood boxes: wall area not known, write wall_area_m2: there" in what(text)


def treated(scenario, name, comb="dry"):
    combs = scenario.gear["super combs"].model_copy(update={"comb": CombClass(comb)})
    known = with_tasks(scenario, {"freeze": {"treatment": name, "authorised": True}})
    return known.model_copy(update={"gear": {**known.gear, "super combs": combs}})


def test_a_treatment_is_bought_as_its_label_says_and_the_usual_amount_stands_beside_it(scenario, plan):
    # 60 combs are 6 boxes; 75 ml a box of ten frames: published, Norwegian beekeepers' association
    text = supplies_text(treated(scenario, "acetic acid 80 %"), plan)
    assert "see label acetic acid 80 %" in flat(text)
    told = "as its label says; usual amount 450 ml (75 ml of 80 % acid for a box of 10 frames)"
    assert told in what(text)


@pytest.mark.parametrize(("name", "comb"), [("acetic acid 80 %", "honey"), ("Bacillus thuringiensis", "dry")])
def test_comb_with_honey_and_bacillus_have_no_amount_beside_the_label(scenario, plan, name, comb):
    text = what(supplies_text(treated(scenario, name, comb), plan))
    assert "as its label says" in text
    assert "usual amount" not in text


def test_comb_for_which_no_amount_may_be_told_is_named_beside_the_rest(scenario, plan):
    known = treated(scenario, "acetic acid 80 %")
    honey = known.gear["super combs"].model_copy(update={"comb": CombClass.HONEY})
    both = known.model_copy(update={"gear": {**known.gear, "honey combs": honey}})
    text = what(supplies_text(both, replace(plan, rows=(*plan.rows, replace(plan.rows[0], lot="honey combs")))))
    assert "usual amount 450 ml" in text
    assert "not told for honey combs: comb not described, with honey, or of unknown size" in text


def test_a_plan_that_needs_nothing_has_no_list(scenario, plan):
    assert supplies_text(scenario, replace(plan, rows=plan.rows[:2])) == ""


def test_the_list_fits_eighty_columns(scenario, plan):
    text = supplies_text(treated(with_supplies(scenario, oil_paint={"lead_time": "30 d"}), "acetic acid 80 %"), plan)
    assert max(map(len, text.splitlines())) <= 80


def test_supplies_are_shown_again_from_the_plan_and_end_with_the_last_word(scenario, plan):
    text = show_text(scenario, plan, "supplies")
    assert text.startswith(supplies_text(scenario, plan))
    assert text.endswith(LAST_WORD)


def test_one_week_shows_what_is_to_be_ordered_in_it(scenario, plan):
    ordered = Selection(date(2026, 10, 5), date(2026, 10, 11))
    before = Selection(date(2026, 9, 28), date(2026, 10, 4))
    after = Selection(date(2026, 10, 13), date(2026, 10, 18))
    assert "Mon 5 Oct 2026 0.7 L oil paint" in flat(show_text(scenario, plan, "supplies", ordered))
    assert show_text(scenario, plan, "supplies", before) == (
        "No supplies are to be ordered from Mon 28 Sep 2026 until Sun 4 Oct 2026."
    )
    assert show_text(scenario, plan, "supplies", after) == (
        "No supplies are to be ordered from Tue 13 Oct 2026 until Sun 18 Oct 2026."
    )


def test_the_first_week_shows_what_had_to_be_ordered_long_before_it_as_to_be_ordered_now(scenario, plan):
    slow = with_supplies(scenario, oil_paint={"lead_time": "60 d"})
    week = Selection(date(2026, 10, 5), date(2026, 10, 11))
    assert "order now 0.7 L oil paint" in flat(show_text(slow, plan, "supplies", week))


def test_a_week_later_what_had_to_be_ordered_by_then_and_is_not_in_hand_is_still_pressing(scenario, plan):
    needed = Selection(date(2026, 10, 12), date(2026, 10, 18))
    assert "order now 0.7 L oil paint" in flat(show_text(scenario, plan, "supplies", needed))
    there = with_supplies(scenario, oil_paint={"in_hand": 5})
    assert show_text(there, plan, "supplies", needed).startswith("No supplies are to be ordered")


def test_supplies_belong_to_nobody_and_come_from_the_scenario(scenario, plan):
    assert "leave out --who" in show_text(scenario, plan, "supplies", Selection(who="Ines"))
    assert "without it no supplies can be listed" in show_text(None, plan, "supplies")
