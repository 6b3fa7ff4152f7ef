"""What page, calendar and sheets are made from: names that stay, lines that read back, days that bind."""

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path

import pytest

from offseason.plan.audit import audit
from offseason.plan.changes import Side, changes
from offseason.plan.document import LeftOver, Row
from offseason.plan.progress.known import known
from offseason.plan.progress.log import Log
from offseason.plan.progress.record_line import record_line
from offseason.plan.progress.short_line import asked_of_line
from offseason.plan.progress.words import parts_of_line
from offseason.scenario.model import Foulbrood, Scenario
from offseason.share.calendar import calendar_of
from offseason.share.changed import changed_since_shared
from offseason.share.make_handout import handout, winter_id
from offseason.trade.cautions import CAUTIONS
from offseason.workload.model import Helper, Lot, Step, Workload
from tests.plan.progress.yards import entry_of_words
from tests.shipped_plans import shipped

SCENARIOS = Path(__file__).parents[2] / "scenarios"
DAY = date(2026, 11, 7)


def row(**of):
    told = {"day": DAY, "start": time(9), "end": time(10), "who": ("Ines",), "lot": "supers", "step": "scrape"}
    return Row(**{**told, "pieces": 4, **of})


# the line to send back


@pytest.mark.parametrize(
    "name",
    [
        pytest.param("hobby"),
        pytest.param("sideline", marks=pytest.mark.slow),
        pytest.param("commercial", marks=pytest.mark.slow),
    ],
)
def test_every_entry_of_a_winter_reads_back_from_its_line_as_exactly_that_work(name):
    winter = shipped(name)
    scenario, workload, plan = winter.scenario, winter.workload, winter.plan
    assert not audit(scenario, plan, winter.outlook)
    shown = handout(scenario, plan, workload)
    assert len(shown.entries) == len(plan.rows) >= 40
    assert len({entry.id for entry in shown.entries}) == len(plan.rows)
    for entry in shown.entries:
        done, of = entry_of_words(parts_of_line(entry.record), scenario, workload, entry.row.day, Log()), entry.row
        assert not isinstance(done, str), (entry.record, done)
        assert (done.day, done.who, done.lot, done.step, done.pieces) == (of.day, of.who, of.lot, of.step, of.pieces)
        assert not done.note
        assert done.minutes is None


def of_names(people, lots):
    """What is known where these people do this work: ``lots`` as lot -> step, each of 50 pieces."""
    scenario = Scenario.model_validate(
        {
            "season": {"from": "2026-10-05", "until": "2027-03-31"},
            "crew": {name: {"works": {"mon": "09:00-13:00"}} for name in people},
            "tasks": {step: {"minutes_each": 6} for lot, step in lots.items() if lot != step},
            "gear": {
                lot: {"piece": "langstroth deep box", "count": 50, "steps": [step]}
                for lot, step in lots.items()
                if lot != step
            },
            "jobs": {lot: {"hours": 12.5} for lot, step in lots.items() if lot == step},
        }
    )
    made = tuple(Lot(lot, lot, 50, (Step(step, 50, 360),)) for lot, step in lots.items())
    return known(scenario, Workload((), tuple(map(Helper, people)), (), made, until_s=1))


NAMES = [
    "Ines", "ines", "Ann Lee", "Ann", "Lee", "40", "4 boxes", "all", "note", "until 15:30", "on", "min",
    'Noël "the Younger", of Farther Quillet', '6" box', "O'Brien", "«Mo»", "“Bo”", '"Al" and "Di"', "a+b & c, d",
    "# not a remark", "- dash", "* star", "=cmd()", "<script>alert(1)</script>", "../../x", "con", "Zoë", "Zoe",
    "two  blanks", "tab\there", "two\r\nlines", "line\u2028parted", "right \u202eto left", "\ufeffmark", "😀", "🐝🐝",
    "👩\u200d🌾", "日本 太郎", "שרה", "x" * 120, "1,200", "30 min", "today", "Sat", "of", "the", "+", "“",
]  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_whoever_and_whatever_is_called_so_reads_back_from_the_line(name):
    others = [other for other in NAMES if other.split() != name.split()]
    names = of_names([name, *others], {"supers": "scrape", "mend it": "mend it", name: "paint"})
    for planned in (
        row(who=(name,)),
        row(who=("Ines", name) if name != "Ines" else ("Zoë", name)),
        row(lot=name, step="paint", pieces=40),
        row(lot="mend it", step="mend it", who=(name,), pieces=1),
    ):
        read = asked_of_line(parts_of_line(record_line(planned)), names, DAY + timedelta(days=30))
        assert not isinstance(read, str), (record_line(planned), read)
        assert (read.day, read.who, read.lot, read.step, read.pieces) == (
            planned.day, planned.who, planned.lot, planned.step, planned.pieces
        )  # fmt: skip


@pytest.mark.parametrize("name", NAMES[1:])  # work called like one of several people may be read in two ways
def test_work_that_is_called_so_reads_back_from_the_line(name):
    step, job = of_names(["Ines", "Bo"], {"supers": name}), of_names(["Ines", "Bo"], {"supers": "scrape", name: name})
    for names, planned in ((step, row(step=name, who=("Ines", "Bo"))), (job, row(step=name, lot=name, pieces=3))):
        read = asked_of_line(parts_of_line(record_line(planned)), names, DAY)
        assert not isinstance(read, str), (record_line(planned), read)
        assert (read.who, read.lot, read.step, read.pieces) == (planned.who, planned.lot, planned.step, planned.pieces)


@pytest.mark.parametrize("name", NAMES)
def test_the_line_is_one_line_of_text_that_a_file_may_hold(name):
    line = record_line(row(who=(name,), lot=name))
    assert line.splitlines() == [line] == [line.strip()]
    assert not set(line) & set("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\ufeff")
    assert line.startswith("2026-11-07 ")


# names of entries


def test_an_entry_keeps_its_name_whatever_else_the_plan_holds(scenario, plan, workload):
    before = {entry.row: entry.id for entry in handout(scenario, plan, workload).entries}
    fewer = replace(plan, made=datetime(2026, 11, 1, tzinfo=UTC), rows=plan.rows[1:][::-1])
    after = {entry.row: entry.id for entry in handout(scenario, fewer, workload).entries}
    assert after == {one: before[one] for one in plan.rows[1:]}
    assert all(len(name) == 10 and int(name, 16) >= 0 for name in before.values())


def test_more_pieces_or_another_end_are_the_same_entry_and_another_beginning_is_none(scenario, plan, workload):
    first = plan.rows[1]

    def name(of):
        return handout(scenario, replace(plan, rows=(of,)), workload).entries[0].id

    assert name(first) == name(replace(first, pieces=3, end=time(9, 30), done=True, line=12))
    others = [replace(first, start=time(9, 19)), replace(first, who=("Bo",)), replace(first, lot="x")]
    others += [replace(first, step="x"), replace(first, day=DAY), replace(first, who=("In", "es"))]
    assert len({name(one) for one in [first, *others]}) == 7


def test_two_rows_written_alike_by_hand_are_two_entries(scenario, plan, workload):
    twice = replace(plan, rows=(*plan.rows, plan.rows[1]))
    shown = handout(scenario, twice, workload)
    assert len({entry.id for entry in shown.entries}) == 5


def test_a_winter_keeps_its_name_when_the_plan_or_the_yard_around_it_changes(scenario, plan, workload):
    first = handout(scenario, plan, workload).winter_id
    again = replace(plan, made=datetime(2027, 1, 5, tzinfo=UTC), scenario_sha256="1" * 64, rows=plan.rows[:1])
    assert handout(scenario, again, workload).winter_id == first
    name = scenario.season.name
    assert winter_id("../yard/winter.yaml", name, date(2026, 9, 1)) == first
    others = ("winter.yaml", name, date(2027, 10, 5)), ("other.yaml", name, date(2026, 10, 5))
    assert first not in {winter_id(*one) for one in others}
    wider = scenario.model_copy(update={"season": scenario.season.model_copy(update={"until": date(2027, 4, 30)})})
    assert handout(wider, plan, workload).winter_id == first


def test_two_yards_whose_scenarios_are_called_alike_are_two_winters_on_a_helpers_phone(scenario, plan, workload):
    season = scenario.season.model_copy(update={"name": "Winter at the mill"})
    here = handout(scenario, plan, workload)
    there = handout(scenario.model_copy(update={"season": season}), plan, workload)
    assert there.winter_id != here.winter_id
    when = datetime(2026, 9, 1, tzinfo=UTC)
    files = [calendar_of(one, None, None, now=when, alarm_minutes=None).decode() for one in (here, there)]
    uids = [{line for line in file.splitlines() if line.startswith("UID:")} for file in files]
    assert all(uids)
    assert not uids[0] & uids[1]


# hours


def test_hours_are_by_the_clock_of_the_yard_also_in_an_hour_that_comes_twice(scenario, plan, workload):
    season = scenario.season.model_copy(update={"timezone": "CET"})
    night = date(2026, 10, 25)
    rows = (
        row(day=night, start=time(2, 30, fold=1), end=time(3, 30)),
        row(day=night, start=time(2, 15), end=time(2, 45)),
        row(day=night, start=time(2, 45), end=time(2, 15, fold=1)),
    )
    shown = handout(scenario.model_copy(update={"season": season}), replace(plan, rows=rows), workload)
    assert [entry.row for entry in shown.entries] == [rows[1], rows[2], rows[0]]
    begins = [entry.begins.astimezone(UTC) for entry in shown.entries]
    assert begins == [datetime(2026, 10, 25, *clock, tzinfo=UTC) for clock in ((0, 15), (0, 45), (1, 30))]
    assert shown.entries[1].ends.astimezone(UTC) == datetime(2026, 10, 25, 1, 15, tzinfo=UTC)


def test_without_a_time_zone_hours_are_those_on_the_wall_and_of_no_zone(scenario, plan, workload):
    shown = handout(scenario, plan, workload)
    assert shown.timezone is None
    assert [entry.begins for entry in shown.entries][:2] == [
        datetime.combine(date(2026, 10, 5), clock) for clock in (time(9), time(9, 18))
    ]
    assert all(entry.ends.tzinfo is None for entry in shown.entries)


# what goes with the work


def test_entries_stand_in_order_of_time_with_their_cautions_and_each_caution_once_in_a_sentence(
    scenario, plan, workload
):
    shown = handout(scenario, replace(plan, rows=plan.rows[::-1]), workload)
    assert [entry.row for entry in shown.entries] == list(plan.rows)
    assert [entry.cautions for entry in shown.entries] == [(), ("lead", "dust"), ("solvents", "oily rags"), ()]
    assert [word for word, _ in shown.care] == ["lead", "dust", "solvents", "oily rags"]
    assert "local authority" in shown.last_word


def test_people_are_the_crew_in_its_order_and_then_whoever_else_the_plan_names(scenario, plan, workload):
    strange = replace(plan, rows=(*plan.rows, row(who=("Tomas", "Ines"))))
    noel = 'Noël "the Younger", of Farther Quillet'
    assert handout(scenario, strange, workload).people == ("Ines", noel, "Tomas")


def test_the_days_that_bind_are_told_and_the_day_is_not_part_of_the_words(scenario, plan, workload):
    until = date(2027, 3, 1)
    gear = {**scenario.gear, "brood boxes": scenario.gear["brood boxes"].model_copy(update={"ready_by": until})}
    jobs = {**scenario.jobs, "rebuild the rack": scenario.jobs["rebuild the rack"].model_copy(update={"by": DAY})}
    moths = scenario.moths.model_copy(update={"season_ends": date(2026, 10, 10)})
    told = scenario.model_copy(update={"gear": gear, "jobs": jobs, "moths": moths})
    deadlines = handout(told, plan, workload).deadlines
    assert [(one.day, one.lot) for one in deadlines] == [
        (date(2026, 10, 10), None),
        (DAY, "rebuild the rack"),
        (until, "brood boxes"),
        (date(2027, 3, 31), None),
        (date(2027, 4, 19), "super combs"),
        (date(2027, 4, 20), None),
    ]
    assert not [one.words for one in deadlines if any(sign.isdigit() for sign in one.words)]


def test_comb_that_needs_no_work_to_be_safe_binds_nobody(scenario, plan, workload):
    safe = replace(
        workload,
        lots=tuple(replace(lot, protected=True, steps=()) if lot.treat_by_s else lot for lot in workload.lots),
    )
    assert "super combs" not in {one.lot for one in handout(scenario, plan, safe).deadlines}


def test_what_does_not_fit_is_handed_out_with_the_rest(scenario, plan, workload):
    short = replace(plan, left=(LeftOver("brood boxes", "first coat", 4, "undone"),))
    assert handout(scenario, short, workload).left == ("first coat of brood boxes: 4 are left undone",)


# what changed


def test_changes_are_told_by_day_to_whom_they_concern_and_no_reason_where_none_was_found(plan):
    moved = replace(plan.rows[1], day=date(2026, 10, 14))
    new = replace(plan, rows=(plan.rows[0], *plan.rows[2:], moved), made=datetime(2026, 10, 3, tzinfo=UTC))
    told = changed_since_shared(plan.made, changes(Side(plan), Side(new)))
    assert told.since == plan.made
    assert [(one.day, one.who) for one in told.lines] == [
        (date(2026, 10, 5), "Ines"), (date(2026, 10, 5), "Ines"),
        (date(2026, 10, 14), "Ines"), (date(2026, 10, 14), "Ines"),
    ]  # fmt: skip
    words = [one.words for one in told.lines]
    assert words[0] == "called 09:00-09:18 (was 09:00-10:06)"
    assert words[1] == "scrape: 8 brood boxes: moved to Wed 14 Oct"
    assert words[2] == "called 09:18-10:06 (was not called)"
    assert words[3] == "scrape: 8 brood boxes: moved from Mon 5 Oct"


def test_a_reason_that_was_found_is_told_with_the_change(scenario, plan):
    away = scenario.crew["Ines"].model_copy(update={"works": {}})
    changed = scenario.model_copy(update={"crew": {**scenario.crew, "Ines": away}})
    new = replace(plan, rows=tuple(row for row in plan.rows if row != plan.rows[1]))
    found = changes(Side(plan, scenario), Side(new, changed))
    told = [one for one in changed_since_shared(plan.made, found).lines if one.words.startswith("scrape")]
    assert [one.words.partition("; ")[0] for one in told] == ["scrape: 8 brood boxes: left out"]
    assert "Ines" in told[0].words


def test_the_same_plan_changes_nothing(plan):
    assert not changed_since_shared(plan.made, changes(Side(plan), Side(plan))).lines


def test_however_people_are_called_each_piece_of_work_keeps_an_id_of_its_own(scenario, plan, workload):
    twice = (row(), row(end=time(11)), row(who=("Ines", "1")))
    ids = [entry.id for entry in handout(scenario, replace(plan, rows=twice), workload).entries]
    assert len(set(ids)) == 3
    again = handout(scenario, replace(plan, rows=twice[::-1]), workload).entries
    assert [entry.id for entry in again] == ids


def test_suspected_foulbrood_comes_with_its_caution_though_no_work_is_planned_on_it(scenario, plan, workload):
    boxes = scenario.gear["brood boxes"].model_copy(update={"foulbrood": Foulbrood.SUSPECTED})
    sick = scenario.model_copy(update={"gear": {**scenario.gear, "brood boxes": boxes}})
    rest = replace(plan, rows=plan.rows[:1])
    assert dict(handout(sick, rest, workload).care)["foulbrood"] == CAUTIONS["foulbrood"]
    assert "foulbrood" not in dict(handout(scenario, rest, workload).care)
