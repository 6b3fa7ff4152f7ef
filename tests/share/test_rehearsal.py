"""What the rehearsal report says, and how it counts."""

from __future__ import annotations

import io
from dataclasses import dataclass
from datetime import date

import pytest

from offseason.plan.rehearsed import CombLived, Rehearsal, WinterLived, WorkLived, fragile
from offseason.share.terminal.rehearsal import BarLine, bar_text, failed_text, rehearsal_text
from offseason.workload.model import Importance

MUST, COULD = Importance.MUST, Importance.COULD


def coat(done: int = 12, late: int = 0, ended: date | None = date(2026, 10, 12)) -> WorkLived:
    return WorkLived("brood boxes", "first coat", MUST, 12, done, late, date(2026, 10, 12), ended)


def combs(since: date | None = date(2026, 11, 3), *, in_time: bool = True) -> CombLived:
    return CombLived("super combs", in_time, since, date(2027, 4, 19))


def lived(year: int, *works: WorkLived, comb: CombLived | None = None) -> WinterLived:
    return WinterLived(year, works or (coat(),), (comb or combs(),))


def rehearsed(*winters: WinterLived, asked: int | None = None, **rest: object) -> Rehearsal:
    told = {"forecast_days": 3, "vary_percent": 0.0, "seed": 0} | rest
    return Rehearsal(winters, asked or len(winters), date(2026, 10, 12), **told)


@pytest.fixture
def text(scenario):
    def of(*winters: WinterLived, **rest: object) -> str:
        return " ".join(rehearsal_text(scenario, rehearsed(*winters, **rest)).split())

    return of


LATER = coat(ended=date(2026, 10, 30))
LEFT = coat(done=5, ended=date(2026, 10, 14))


def test_it_says_in_how_many_winters_all_was_done_and_comb_protected(text):
    said = text(lived(2020), lived(2021, LATER), lived(2022, LEFT), lived(2023, comb=combs(None, in_time=False)))
    assert "In 3 of 4 past winters all that must be done was done in time; in 3 of 4 every comb was protected" in said


def test_it_says_how_the_finishing_dates_are_spread(text):
    said = text(lived(2020), lived(2021, LATER), lived(2022, coat(ended=date(2026, 11, 4))))
    assert "earliest Mon 12 Oct 2026, middle Fri 30 Oct 2026, latest Wed 4 Nov 2026." in said


def test_a_winter_that_never_ended_counts_as_the_latest(text):
    said = text(lived(2020), lived(2021, LEFT), lived(2022, LEFT))
    assert "earliest Mon 12 Oct 2026, middle not at all, latest not at all (in 2 winters)." in said


def test_each_winter_has_a_line_with_what_was_not_kept(scenario):
    report = rehearsal_text(scenario, rehearsed(lived(2020), lived(2021, LEFT, comb=combs(None, in_time=False))))
    (good,) = [line for line in report.splitlines() if line.startswith("2020/21")]
    (poor,) = [line for line in report.splitlines() if line.startswith("2021/22")]
    assert good.split() == ["2020/21", "Mon", "12", "Oct", "0", "Tue", "3", "Nov"]
    assert "not all" in poor
    assert "left: first coat; comb open:" in poor


def test_late_work_is_told_apart_from_work_left_and_late_is_explained(text):
    said = text(lived(2020, coat(late=3)), lived(2021))
    assert "In 1 of 2 past winters all that must be done was done in time (in 1 more it was done, but some" in said
    assert "Late: after its own date, or longer after the step before it than is allowed." in said


def test_where_nothing_suffered_nothing_is_called_fragile(text):
    assert "No work is fragile" in text(lived(2020))


def test_the_work_left_in_most_winters_is_the_most_fragile_and_optional_work_comes_last():
    mend = WorkLived("frames", "mend", MUST, 9, 9, 0, date(2026, 10, 5), date(2026, 10, 9))
    scrape = WorkLived("frames", "scrape", COULD, 9, 0, 0, date(2026, 10, 5), None)
    found = fragile([lived(2020, mend, scrape, LEFT), lived(2021, mend, scrape, coat())])
    assert [one.step for one in found] == ["first coat", "mend", "scrape"]
    assert (found[0].winters_left, found[0].most_left, found[0].days_later) == (1, 7, 0)
    assert found[1].days_later == 4


def test_a_round_is_not_late_for_being_done_on_another_of_its_days():
    look = WorkLived("look", "look", MUST, 3, 3, 0, date(2027, 3, 1), date(2027, 3, 5), comes_back=True)
    winter = lived(2020, coat(), look)
    assert fragile([winter]) == ()
    assert winter.finished == date(2026, 10, 12)


def test_it_says_what_was_assumed(text):
    said = text(lived(2020), vary_percent=20.0, seed=7, forecast_days=1, by_hand=("painting",))
    assert "knowing the weather so far and a forecast for 1 day after it that comes true" in said
    assert "Labour took up to 20 % longer or shorter than planned" in said
    assert "(seed 7)" in said
    assert "Hours written by hand for painting were the same in every winter" in said
    assert "quickly and without the long search" in said


def test_it_says_that_optional_work_counts_as_far_as_the_plan_has_it(text):
    told = "Of optional work, only what the plan has is counted."
    mend = WorkLived("frames", "mend", COULD, 9, 9, 0, date(2026, 10, 5), date(2026, 10, 9))
    assert told in text(lived(2020, coat(), mend))
    assert told not in text(lived(2020))


def test_it_says_what_it_cannot_know_and_that_few_winters_say_little(text):
    assert "What this cannot know: illness" in text(lived(2020))
    assert "So few winters say little of the next one." in text(lived(2020))
    assert "So few winters" not in text(*(lived(year) for year in range(2010, 2020)))


def test_where_only_rounds_must_be_done_no_finishing_date_is_made_up(text):
    look = WorkLived("look", "look", MUST, 3, 3, 0, date(2027, 3, 1), date(2027, 3, 5), comes_back=True)
    said = text(lived(2020, look))
    assert "No work on gear and no job must be done." in said
    assert "not all" not in said


def test_it_says_by_when_comb_had_to_be_safe(text):
    early = CombLived("super combs", True, date(2026, 11, 3), date(2027, 3, 30))
    said = text(lived(2020), lived(2021, comb=early))
    assert "where records tell them (Tue 30 Mar 2027 to Mon 19 Apr 2027)." in said


def test_a_rehearsal_that_was_stopped_says_so(text):
    assert "rehearsed in 1 of 10 past winters (2020/21). Stopped before the others." in text(lived(2020), asked=10)


def test_no_line_is_wider_than_a_terminal(scenario):
    many = [
        WorkLived("a lot with a very long name indeed, of many words", f"step {n}", MUST, 9, 3, 2, None, None)
        for n in range(20)
    ]
    report = rehearsal_text(scenario, rehearsed(lived(2020, *many), lived(2021, *many)))
    assert max(map(len, report.splitlines())) <= 80
    assert "... and 8 more." in report


def test_a_winter_with_much_left_names_the_first_and_counts_the_rest():
    steps = [WorkLived("boxes", step, MUST, 9, 0, 0, None, None) for step in ("scrape", "coat", "put away")]
    assert failed_text(lived(2020, *steps)) == "left: scrape and 2 more"


@dataclass
class At:
    winters: int
    of_winters: int
    share: float


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_the_bar_fills_as_the_weeks_go_by():
    assert bar_text(At(0, 10, 0)) == f"[{'.' * 30}]   0 %, 0 of 10 winters"
    assert bar_text(At(3, 10, 1 / 3)) == f"[{'#' * 10}{'.' * 20}]  33 %, 3 of 10 winters"
    assert bar_text(At(10, 10, 1)) == f"[{'#' * 30}] 100 %, 10 of 10 winters"


def test_on_a_terminal_the_bar_stays_on_one_line():
    stream = Terminal()
    line = BarLine(stream)
    for n in range(4):
        line(At(n, 3, n / 3))
    line.close()
    assert stream.getvalue().count("\n") == 1
    assert stream.getvalue().count("\r") == 4


def test_elsewhere_there_is_a_line_every_few_seconds():
    times = iter(range(11))
    stream = io.StringIO()
    line = BarLine(stream, clock=lambda: float(next(times)))
    for n in range(11):
        line(At(n, 10, n / 10))
    assert len(stream.getvalue().splitlines()) == 3
