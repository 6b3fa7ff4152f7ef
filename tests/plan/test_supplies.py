"""What to have in hand by when."""

from datetime import UTC, date, datetime, time

import pytest

from offseason.plan.document import Plan, Row
from offseason.plan.supplies import supplies
from offseason.scenario.model import Scenario


def winter(gear=None, **task):
    return Scenario.model_validate(
        {
            "season": {"from": "2026-10-05", "until": "2027-03-31"},
            "crew": {"Ines": {}},
            "tasks": {"coat": {"minutes_each": 6, **task}, "second coat": {"minutes_each": 6, **task}},
            "gear": {
                "boxes": {
                    "piece": "langstroth deep box",
                    "count": 10,
                    "steps": ["coat", "second coat"],
                    **(gear or {}),
                },
                "lids": {"piece": "home-made lid", "kind": "woodenware", "count": 4, "steps": ["coat"]},
            },
        }
    )


def plan_of(*rows):
    made = datetime(2026, 10, 1, tzinfo=UTC)
    return Plan("winter.yaml", "0" * 64, made, "by hand", proven=False, aims=(), rows=rows)


def row(day, pieces, lot="boxes", step="coat"):
    return Row(date(2026, 10, day), time(9), time(10), ("Ines",), lot, step, pieces)


def test_three_coats_on_ten_deep_boxes_take_1_645_litres():
    # derived here, from areas seen only on a secondary page: 13.459 m², 9 m² a litre, 10 % waste
    plan = plan_of(row(6, 10), row(7, 10), row(8, 4), row(9, 6))
    (paint,) = supplies(winter(paint="latex"), plan)
    assert paint.name == "latex paint for coat"
    assert paint.unit == "L"
    assert paint.amount == pytest.approx(1.645, abs=0.001)


def test_each_coat_is_listed_with_the_first_day_it_is_needed():
    plan = plan_of(row(9, 5, step="second coat"), row(7, 5), row(6, 5))
    found = supplies(winter(paint="latex"), plan)
    assert [(s.name, s.first_day) for s in found] == [
        ("latex paint for coat", date(2026, 10, 6)),
        ("latex paint for second coat", date(2026, 10, 9)),
    ]


def test_the_keepers_own_wall_area_comes_before_the_catalogue():
    (paint,) = supplies(winter({"wall_area_m2": 0.9}, paint="oil"), plan_of(row(6, 10)))
    assert paint.amount == pytest.approx(0.9 * 10 / 9 * 1.1)


def test_pieces_whose_wall_area_nobody_knows_are_named_and_not_guessed():
    (paint,) = supplies(winter(paint="latex"), plan_of(row(6, 4, "lids")))
    assert (paint.amount, paint.unmeasured) == (None, ("lids",))


def test_an_amount_says_which_gear_it_leaves_out():
    (paint,) = supplies(winter(paint="latex"), plan_of(row(6, 4, "lids"), row(7, 10)))
    assert paint.amount == pytest.approx(1.645 / 3, abs=0.001)
    assert (paint.unmeasured, paint.first_day) == (("lids",), date(2026, 10, 6))


def test_things_used_for_each_piece_are_counted_over_all_work():
    (nails,) = supplies(winter(uses={"nails": 10}), plan_of(row(6, 3), row(8, 4, step="second coat")))
    assert (nails.name, nails.amount, nails.unit, nails.first_day) == ("nails", 70, "", date(2026, 10, 6))


def test_a_treatment_is_listed_without_an_amount_for_that_is_on_its_label():
    found = supplies(winter(treatment="acetic acid", authorised=True), plan_of(row(6, 3), row(7, 3)))
    assert [(s.name, s.amount, s.unmeasured) for s in found] == [("acetic acid", None, ())]


def test_glue_that_has_to_dry_is_no_paint_to_buy_by_the_litre():
    assert supplies(winter(then={"dries": "glue"}), plan_of(row(6, 3))) == ()


def test_work_that_is_not_planned_needs_no_supplies():
    assert supplies(winter(paint="latex", uses={"nails": 10}), plan_of()) == ()
