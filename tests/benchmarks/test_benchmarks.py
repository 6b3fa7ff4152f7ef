"""The benchmarks themselves: each runs on a tiny instance, and the page is made from what was kept."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from offseason.solver import Progress
from offseason.solver.model import build
from tests.benchmarks import all as command
from tests.benchmarks.batches import as_intervals
from tests.benchmarks.classical import (
    JOB_SHOPS,
    by_counting,
    by_library,
    job_shop,
    listed,
    project,
    published_shop,
)
from tests.benchmarks.measures import TINY, WAYS, cases, measured, measured_apart
from tests.benchmarks.page import page
from tests.benchmarks.records import Case, Figures, OtherMachineError, Record, middle, opened, this_machine
from tests.benchmarks.ways import dispatch_alone, highs, read_at, whole_program
from tests.benchmarks.yards import workload_of, yard

# A project of two jobs between two that last nothing, in the format of the published library. Both take the only unit
# there is, so 3 + 4 = 7 is the soonest end. Made up here.
PROJECT = """PRECEDENCE RELATIONS:
jobnr.    #modes  #successors   successors
   1        1          2           2   3
   2        1          1           4
   3        1          1           4
   4        1          0
************************************************************************
REQUESTS/DURATIONS:
jobnr. mode duration  R 1
------------------------------------------------------------------------
  1      1     0       0
  2      1     3       1
  3      1     4       1
  4      1     0       0
************************************************************************
RESOURCEAVAILABILITIES:
  R 1
    1
************************************************************************
"""


@pytest.fixture
def published(tmp_path):
    (tmp_path / "two.sm").write_text(PROJECT, encoding="utf-8")
    (tmp_path / "j30.csv").write_text("instance,file,upper\ntwo,two.sm,7\n", encoding="utf-8")
    return tmp_path


def clocks(found: dict) -> list[float]:
    return [aim["clock"] for aim in found["aims"]]


def test_the_size_of_a_winter_is_measured():
    found = measured(Case("size", "3x2x10", "model"), 0)
    assert (found["lots"], found["people"], found["sessions"]) == (3, 2, 100)
    assert found["variables"] == len(build(workload_of("3x2x10")).counts.rows.lower)
    assert 0 < found["built_s"] < found["first_plan_s"]
    assert found["peak_mb"] > 10


def test_a_yard_has_the_lots_people_and_weeks_of_its_name_and_the_same_lots_in_a_longer_winter():
    large = yard(100, 20, 30)
    assert (len(large.lots), len(large.helpers), len(large.sessions)) == (100, 20, 300)
    assert [lot.count for lot in yard(6, 2, 10).lots] == [lot.count for lot in yard(6, 2, 30).lots]
    assert workload_of("6x2x10*100").lots[0].count == 100 * workload_of("6x2x10").lots[0].count


@pytest.mark.parametrize("name", ["nowhere", "101x2x10", "10x21x10", "10x2x31", "0x1x1"])
def test_a_name_that_is_no_winter_is_refused(name):
    with pytest.raises(ValueError, match=name):
        workload_of(name)


def test_no_way_to_plan_a_winter_beats_what_another_proved():
    winter = workload_of("2x2x10")
    proven = highs(winter, 8, 0)["aims"]
    assert [aim["bound"] for aim in proven] == pytest.approx([aim["reached"] for aim in proven])
    for way in (whole_program, dispatch_alone):
        assert clocks(way(winter, 1, 0)) >= [pytest.approx(aim["bound"]) for aim in proven]


@pytest.mark.slow
@pytest.mark.parametrize("way", WAYS)
def test_each_way_ends_in_a_plan_on_the_clock_or_says_that_it_has_none(way):
    found = measured(Case("ways", "2x2x10", way, 6), 0)
    assert len(found["aims"]) == 3
    assert all(value is not None for value in clocks(found))


@pytest.mark.slow
def test_what_intervals_find_keeps_every_row_of_the_counting_model_where_nothing_is_to_be_set_up():
    winter = workload_of("3x2x10")
    plain = [replace(lot, steps=tuple(replace(step, setup_s=0) for step in lot.steps)) for lot in winter.lots]
    found = as_intervals(replace(winter, lots=tuple(plain)), 10, 0)
    assert found["aims"][0]["reached"] is not None
    assert found["broken"] == 0


def test_a_job_shop_ends_alike_as_a_winter_and_by_the_library():
    problem = job_shop("ft06")
    for way in (by_counting, by_library):
        found = way(problem, 10, 0)
        assert (found["reached"], found["bound"]) == (published_shop("ft06"), published_shop("ft06"))


def test_the_horizon_of_a_job_shop_leaves_room_for_its_optimum():
    assert all(job_shop(name).horizon > published_shop(name) for name in JOB_SHOPS)


def test_a_project_from_a_folder_ends_alike_as_a_winter_and_by_the_library(published):
    path, optimum = listed(published)["two"]
    problem = project(path)
    for way in (by_counting, by_library):
        found = way(problem, 5, 0)
        assert (found["reached"], found["bound"]) == (optimum, 7)


def test_without_a_folder_projects_are_left_out(tmp_path, published):
    assert not any(case.bench == "projects" for case in cases(TINY, None))
    assert not any(case.bench == "projects" for case in cases(TINY, tmp_path / "nothing here"))
    ways = [case.way for case in cases(TINY, published) if case.bench == "projects"]
    assert ways == ["offseason", "PyJobShop"]


def test_a_solve_is_read_as_it_was_last_told_of_by_then_and_not_as_it_came_out_later():
    ended = [{"aim": "comb", "reached": 5, "bound": 5}, {"aim": "early", "reached": 80, "bound": 79}]
    heard = [
        (0.5, Progress(0.4, "first plan", 99, 0)),
        (3.0, Progress(2.9, "comb", 6, 4)),
        (9.0, Progress(8.9, "early", 90, 70)),
        (12.0, Progress(11.9, "comb", 5, 5)),
        (20.0, Progress(19.9, "early", 80, 79)),
    ]
    at_5_s, at_10_s = (read_at(heard, at_s, 21.0, ended) for at_s in (5, 10))
    assert [(aim["reached"], aim["bound"]) for aim in at_5_s] == [(6, 4), (None, None)]
    assert [(aim["reached"], aim["bound"]) for aim in at_10_s] == [(6, 4), (90, 70)]
    assert read_at(heard, 60, 21.0, ended) == ended


@pytest.mark.slow
def test_what_fails_in_its_own_process_is_told_and_ends_nothing():
    assert "nowhere" in measured_apart(Case("size", "nowhere", "model"), 0)["failed"]


def test_a_run_broken_off_goes_on_where_it_was(tmp_path, monkeypatch):
    asked = []

    def measure(case, run, _published):
        asked.append((case, run))
        if len(asked) == 3:
            raise KeyboardInterrupt
        return {"reached": 55, "bound": 55, "took_s": 1.0, "published": 55, "peak_mb": 1.0}

    monkeypatch.setattr(command, "measured_apart", measure)
    arguments = ["--tiny", "--only", "job shops", "--runs", "2", "--to", str(tmp_path / "page.md")]
    assert command.main(arguments) == 1
    assert command.main(arguments) == 0
    assert len(asked) == 5  # two kept, one broken off and measured anew, one more
    assert len(set(asked)) == 4
    assert "A trial" in (tmp_path / "page.md").read_text(encoding="utf-8")


def test_figures_of_another_state_are_not_mixed_in_but_can_be_shown(tmp_path, capsys):
    kept = {"made_on": {**this_machine(), "sources": "of old"}, "figures": []}
    (tmp_path / "page.json").write_text(json.dumps(kept), encoding="utf-8")
    with pytest.raises(OtherMachineError, match="other sources"):
        opened(tmp_path / "page.json")
    assert command.main(["--tiny", "--to", str(tmp_path / "page.md")]) == 1
    assert "other sources" in capsys.readouterr().err
    assert command.main(["--render", "--to", str(tmp_path / "page.md")]) == 0
    assert "sources of old" in (tmp_path / "page.md").read_text(encoding="utf-8")


def recorded(tmp_path, *figures: Figures) -> Record:
    """As it is read back from its file."""
    record = opened(tmp_path / "kept.json")
    for one in figures:
        record.add(one)
    return opened(tmp_path / "kept.json")


def row_of(text: str, begins: str) -> list[str]:
    line = next(line for line in text.splitlines() if line.startswith(f"| {begins} "))
    return [cell.strip() for cell in line.strip("|").split("|")]


def test_the_page_gives_medians_and_none_where_a_run_has_no_figure(tmp_path):
    case, other = Case("job shops", "shop", "offseason", 30), Case("job shops", "shop", "intervals", 30)
    found = [{"reached": value, "bound": 50, "took_s": 1.0, "published": 50} for value in (60, 50, 55)]
    none = [{"reached": None, "bound": None, "took_s": 30.0, "published": 50}, *found[1:]]
    record = recorded(
        tmp_path,
        *(Figures(case, run, one) for run, one in enumerate(found)),
        *(Figures(other, run, one) for run, one in enumerate(none)),
    )
    text = page(record)
    assert row_of(text, "shop") == ["shop", "50", "55", "50", "1.00", "–", "–", "1.00"]
    assert row_of(text, "offseason") == ["offseason", "1", "1", "0", "0", "0", "10.0 %", "1"]
    assert row_of(text, "intervals") == ["intervals", "1", "0", "0", "0", "0", "–", "1"]
    assert "A trial" not in text
    assert "beaten" not in text


def test_the_page_says_how_far_each_aim_was_from_its_bound_and_leaves_out_what_had_not_the_time(tmp_path):
    def aims(comb: float, early: float | None) -> list[dict]:
        return [
            {"aim": "comb", "reached": comb, "bound": 50},
            {"aim": "early", "reached": early, "bound": None if early is None else 90},
        ]

    found = {"aims": aims(50, 90), "read": {"10": aims(100, None), "60": aims(50, 100)}}
    found |= {"left": 0, "first_plan_s": 0.5, "took_s": 30.0, "peak_mb": 200.0}
    figures = [Figures(Case("gap", "sideline", "offseason", 120), run, found) for run in range(3)]
    text = page(recorded(tmp_path, *figures, Figures(Case("gap", "hobby", "offseason", 15), 0, found)))
    assert row_of(text, "sideline")[1:6] == ["120", "0.50", "comb 50.0 %, early –", "early 10.0 %", "proven best"]
    assert row_of(text, "hobby")[1:6] == ["15", "0.50", "comb 50.0 %, early –", "–", "proven best"]


def test_what_it_took_is_only_told_where_all_of_it_was_measured(tmp_path, capsys, monkeypatch):
    monkeypatch.setattr(command, "measured_apart", lambda *_: {"failed": "on purpose", "whole_s": 60.0})
    to = ["--to", str(tmp_path / "page.md")]
    assert command.main(["--tiny", "--only", "growth", "--runs", "1", *to]) == 0
    assert command.main(["--tiny", "--list", "--runs", "3", *to]) == 0
    told = capsys.readouterr().out
    assert row_of(told, "growth")[-1] == "12"  # four measures, three runs
    assert row_of(told, "size")[-1] == "–"
    assert row_of(told, "together")[-1] == "–"


def test_an_optimum_that_is_beaten_is_called_out(tmp_path):
    found = {"reached": 49, "bound": 40, "took_s": 1.0, "published": 50}
    text = page(recorded(tmp_path, Figures(Case("job shops", "shop", "offseason", 30), 0, found)))
    assert "beaten, or denied by a bound, in shop" in text


def test_an_optimum_that_one_run_missed_is_not_counted_as_reached_in_every_run(tmp_path):
    case, found = Case("job shops", "shop", "offseason", 30), {"bound": 50, "took_s": 1.0, "published": 50}
    runs = [Figures(case, run, {**found, "reached": value}) for run, value in enumerate((50, 51, 50))]
    assert row_of(page(recorded(tmp_path, *runs)), "offseason")[3:5] == ["1", "0"]


def test_what_failed_is_told_with_the_reason_and_a_plan_better_than_its_bound_is_not_called_the_best(tmp_path):
    aim = {"aim": "early", "unit": "days", "reached": 9.0, "bound": 10.0, "clock": 9.0}
    found = {"aims": [aim], "read": {"10": [aim], "60": [aim]}, "left": 0, "took_s": 1.0, "peak_mb": 1.0}
    text = page(
        recorded(
            tmp_path,
            Figures(Case("gap", "hobby", "offseason", 15), 0, {**found, "first_plan_s": 0.5}),
            Figures(Case("size", "barn", "model"), 0, {"failed": "no memory"}),
        )
    )
    assert "early -11.1 %" in text
    assert row_of(text, "size") == ["size", "barn", "model", "1", "no memory"]


def test_ways_are_compared_within_their_round_and_by_the_earlier_aim_first(tmp_path):
    def found(*values: float) -> dict:
        names = ("comb exposed to moths", "work done early")
        aims = [
            {"aim": name, "unit": "u", "reached": value, "bound": value, "clock": value}
            for name, value in zip(names, values, strict=True)
        ]
        read = {"10": aims, "60": aims}
        return {"aims": aims, "took_s": 1.0, "peak_mb": 1.0, "read": read, "left": 0, "first_plan_s": 0.1}

    def runs(way: str, *rounds: tuple[float, float]) -> list[Figures]:
        return [Figures(Case("ways", "hobby", way, 60), run, found(*values)) for run, values in enumerate(rounds)]

    text = page(
        recorded(
            tmp_path,
            *runs("offseason", (5, 10), (5, 20), (5, 40)),
            *runs("HiGHS", (5, 15), (5, 22), (5, 80)),
            *runs("intervals", (5, 1), (6, 1), (5, 1)),
        )
    )
    assert row_of(text, "HiGHS")[6] == "1.500"
    assert row_of(text, "intervals")[6] == "worse: comb exposed to moths"


def test_figures_of_next_to_nothing_do_not_go_among_the_others(capsys):
    with pytest.raises(SystemExit):
        command.main(["--tiny"])
    assert "--tiny wants --to" in capsys.readouterr().err


def test_a_cost_that_doubles_with_the_lots_grows_with_the_power_one(tmp_path):
    def found(lots: int) -> dict:
        return {"lots": lots, "variables": 7 * lots, "rows": lots**2, "built_s": 0.5, "first_plan_s": None} | {
            "relaxed_s": 1.0,
            "peak_mb": 100.0,
        }

    figures = [Figures(Case("growth", f"{lots}x2x10", "lots"), 0, found(lots)) for lots in (10, 20, 40)]
    powers = row_of(page(recorded(tmp_path, *figures)), "grows with the power")
    assert powers[2:] == ["1.00", "2.00", "0.00", "–", "0.00", "0.00"]


def test_the_middle_of_runs_is_none_where_one_has_none():
    assert middle([3.0, 1.0, 2.0]) == 2.0
    assert middle([3.0, None, 2.0]) is None
    assert middle([]) is None
