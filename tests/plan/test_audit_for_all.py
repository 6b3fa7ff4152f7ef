"""What only some combs have protects the others from nothing, whoever is asked: the file, the model, the audit."""

from __future__ import annotations

from dataclasses import replace

import pytest

from offseason.plan.audit import audit
from offseason.plan.document import LeftOver
from offseason.scenario.problems import ScenarioError
from offseason.scenario.read import parse_scenario
from offseason.workload.build import build_workload
from tests.plan.winters import assert_breaks, assert_keeps, changed, plan, winter

# Moths fly until 20 October: comb off the hives on the 5th must be safe 7 days later, by the end of the 12th (derived).
TREATED = """
season: {from: 2026-10-05, until: 2026-11-06}
moths: {season_starts: 2027-04-20, season_ends: 2026-10-20}
crew: {Ines: {works: {every day: 09:00-12:00}}}
places: {loft: {holds: 60 combs, celsius: 8..18}, freezer: {holds: 60 combs, celsius: -18}}
tasks:
  treat: {minutes_each: 1, protects: season, treatment: acetic acid, authorised: true}
  store: {minutes_each: 1, then: {in: loft}}
gear: {combs: {piece: deep comb, count: 10, comb: dry, rests: loft, steps: [treat, store]}}
"""
FROZEN = """
season: {from: 2026-10-05, until: 2026-11-06}
moths: {season_starts: 2027-04-20, season_ends: 2026-10-20}
crew: {Ines: {works: {every day: 09:00-12:00}}}
places: {loft: {holds: 60 combs, celsius: 8..18}, freezer: {holds: 60 combs, celsius: -18}}
tasks:
  carry: {minutes_each: 1, then: {in: freezer}}
  freeze: {minutes_each: 1, kills: true, then: {wait: freezer stay, in: freezer}}
  seal: {minutes_each: 1, seals: true, then: {in: loft}}
gear: {combs: {piece: deep comb, count: 10, comb: dry, rests: loft, steps: [carry, freeze, seal]}}
"""
ONLY_SOME = ["share: 50%, ", "importance: could, "]
STORED = """
2026-10-05 09:00-09:10 | Ines | store 10 of combs
"""
SEALED = """
2026-10-05 09:00-09:10 | Ines | carry 10 of combs
2026-10-06 09:30-09:40 | Ines | seal 10 of combs
"""


def for_some(text: str, task: str, how: str) -> str:
    return changed(text, f"  {task}: {{", f"  {task}: {{{how}")


@pytest.mark.parametrize("how", ONLY_SOME)
def test_combs_that_were_never_treated_are_open_whatever_others_had(how):
    treated = "2026-10-05 09:00-09:05 | Ines | treat 5 of combs\n2026-10-05 09:05-09:15 | Ines | store 10 of combs"
    assert_breaks(for_some(TREATED, "treat", how), treated, "protection", 2, says="up to 10 combs are open")
    all_treated = "2026-10-05 09:00-09:10 | Ines | treat 10 of combs\n2026-10-05 09:10-09:20 | Ines | store 10 of combs"
    assert_keeps(TREATED, all_treated)


@pytest.mark.parametrize("how", ONLY_SOME)
def test_combs_that_were_never_frozen_are_not_made_safe_by_sealing_them(how):
    frozen = SEALED.replace("2026-10-06", "2026-10-05 09:10-09:15 | Ines | freeze 5 of combs\n2026-10-06")
    assert_breaks(for_some(FROZEN, "freeze", how), frozen, "protection", 3, says="open to moths")


@pytest.mark.parametrize(("text", "task"), [(TREATED, "treat"), (FROZEN, "freeze")])
@pytest.mark.parametrize("how", ONLY_SOME)
def test_the_model_counts_no_comb_as_safe_for_what_only_some_had(text, task, how):
    (lot,) = build_workload(winter(for_some(text, task, how))).lots
    assert not lot.steps[-1].protected
    (lot,) = build_workload(winter(text)).lots
    assert lot.steps[-1].protected


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (
            for_some(TREATED, "treat", ONLY_SOME[0]),
            "only some of 'combs' are sure to have 'treat'",
        ),
        (
            for_some(TREATED, "treat", ONLY_SOME[1]),
            "only some of 'combs' are sure to have 'treat'",
        ),
        (for_some(FROZEN, "freeze", ONLY_SOME[0]), "nothing protects the others from moths; let all have it"),
        (
            changed(FROZEN, "freeze, seal]", "freeze, seal, sort]").replace(
                "  seal:", "  sort: {minutes_each: 1, share: 50%}\n  seal:"
            ),
            "'sort' opens some of 'combs' again, which 'seal' closed; put it before 'seal'",
        ),
    ],
)
def test_a_file_in_which_some_combs_would_lie_open_is_refused_with_what_to_write(text, says):
    with pytest.raises(ScenarioError) as raised:
        parse_scenario(text.encode(), "winter.yaml")
    assert says in str(raised.value)


def test_comb_may_be_sorted_in_part_before_it_is_closed():
    sorted_first = changed(FROZEN, "[carry, freeze, seal]", "[sort, carry, freeze, seal]")
    assert parse_scenario(
        sorted_first.replace("  seal:", "  sort: {minutes_each: 1, share: 50%}\n  seal:").encode(), "winter.yaml"
    )


def test_a_plan_that_says_comb_is_open_where_there_is_none_is_told_so():
    rounds = """
season: {from: 2026-10-05, until: 2026-10-11}
crew: {Ines: {works: {every day: 09:00-12:00}}}
rounds: {look: {every: 1 w, minutes: 20}}
"""
    looked = replace(
        plan("2026-10-05 09:00-09:20 | Ines | look 1 of look"), left=(LeftOver("look", "look", 1, "open"),)
    )
    (found,) = audit(winter(rounds), looked)
    assert "no comb of it is open to moths" in found.text
