"""The plan file: what is written reads back the same, and whatever a hand may do to it is told in sentences."""

from __future__ import annotations

import os
import stat
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta, timezone
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from offseason.plan.document import Aim, LeftOver, Plan, Row, WeatherFile
from offseason.plan.file import PlanFileError, plan_text, read_plan, write_plan
from offseason.plan.parse import NOT_WHOLE, parse_plan

SMALL = Plan(
    scenario_file="winter.yaml",
    scenario_sha256="ab" * 32,
    made=datetime(2026, 10, 1, 18, 30, tzinfo=UTC),
    made_with="offseason 0.1.0, 60 s, seed 1",
    proven=False,
    aims=(Aim("exposure of comb", "degree-days", 120, 118.5, 1.25),),
    rows=(
        Row(date(2026, 10, 10), time(13), time(14, 12, 30), ("Tomás",), "brood boxes", "scrape", 12, "bench", 20.0),
        Row(date(2026, 10, 10), time(9), time(10, 12), ("Ines", "Zoë"), "brood boxes", "lift, turn", 12),
        Row(date(2026, 10, 9), time(9), time(10), ("no",), "-18 combs: old #1", "freeze", 600, "freezer"),
    ),
)
TEXT = plan_text(SMALL)

# Names as a scenario can hold them: any text but characters that cannot be printed or that turn the line round.
TURNING = "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
ODD = [
    "no",
    "Null",
    "~",
    "true",
    "- x",
    "a: b",
    "a #b",
    "#",
    "12:30",
    "2026-10-10",
    "1e5",
    "0x1F",
    " ",
    " a ",
    "'",
    '"',
]
ODD += [
    "{a}",
    "[b",
    "a, b",
    "& c",
    "*d",
    "!e",
    "|",
    ">",
    "%",
    "@",
    "`",
    "?",
    "🐝",
    "é",
    "\u2028",
    "\ufeff",
    "<<",
    "...",
    "\\",
]
NAMES = st.sampled_from(ODD) | st.text(
    st.characters(exclude_categories=("Cc", "Cs"), exclude_characters=TURNING), min_size=1, max_size=40
)
TIMES = st.builds(time, st.integers(0, 22), st.integers(0, 59), st.integers(0, 59))
NUMBERS = st.floats(allow_nan=False)


@st.composite
def rows(draw) -> Row:
    start = draw(TIMES)
    lasts = draw(st.integers(1, 3_600))
    end = (datetime.combine(date(2026, 1, 1), start) + timedelta(seconds=lasts)).time()
    return Row(
        day=draw(st.dates(date(2000, 1, 1), date(2100, 1, 1))),
        start=start,
        end=end,
        who=tuple(draw(st.lists(NAMES, min_size=1, max_size=3))),
        lot=draw(NAMES),
        step=draw(NAMES),
        pieces=draw(st.integers(0, 10_000_000)),
        at=draw(st.none() | NAMES),
        set_up_minutes=draw(st.floats(0, 1_440)),
    )


def without_room(place: str, spaces: int, since: date) -> LeftOver:
    return LeftOver("", "", spaces, "overfull", place, since)


PLANS = st.builds(
    Plan,
    scenario_file=NAMES,
    scenario_sha256=st.text("0123456789abcdef", min_size=64, max_size=64),
    made=st.datetimes(
        datetime(1901, 1, 1),  # noqa: DTZ001  hypothesis wants the ends without a zone
        datetime(2199, 1, 1),  # noqa: DTZ001
        timezones=st.sampled_from([UTC, timezone(timedelta(hours=-5))]),
    ),
    made_with=NAMES,
    proven=st.booleans(),
    aims=st.lists(st.builds(Aim, NAMES, NAMES, NUMBERS, NUMBERS, NUMBERS), max_size=3).map(tuple),
    rows=st.lists(rows(), max_size=5).map(tuple),
    left=st.lists(
        st.builds(LeftOver, NAMES, NAMES, st.integers(1, 10_000_000), st.sampled_from(["undone", "open", "late"]))
        | st.builds(without_room, NAMES, st.integers(1, 10_000_000), st.dates(date(2000, 1, 1), date(2100, 1, 1))),
        max_size=3,
        unique_by=lambda one: one.key,
    ).map(tuple),
)


def unordered(plan: Plan) -> tuple[object, ...]:
    seen = sorted(
        repr((r.day, r.start, r.end, r.who, r.lot, r.step, r.pieces, r.at, r.set_up_minutes)) for r in plan.rows
    )
    header = plan.scenario_file, plan.scenario_sha256, plan.made, plan.made_with, plan.proven, plan.aims, plan.left
    return *header, seen


@given(PLANS)
@settings(max_examples=60, deadline=None)
def test_what_is_written_reads_back_the_same_whatever_the_names(plan):
    assert unordered(parse_plan(plan_text(plan), "plan.yaml")) == unordered(plan)


@given(PLANS)
@settings(max_examples=40, deadline=None)
def test_a_plan_read_and_written_again_is_the_same_text(plan):
    text = plan_text(plan)
    assert plan_text(parse_plan(text, "plan.yaml")) == text


@given(st.integers(0, len(TEXT)))
@settings(max_examples=80, deadline=None)
def test_a_file_cut_off_anywhere_before_its_last_line_is_refused_in_sentences(length):
    cut = TEXT[: min(length, TEXT.index("end: of the plan"))]
    with pytest.raises(PlanFileError) as caught:
        parse_plan(cut, "plan.yaml")
    assert all(str(p).startswith("plan.yaml:") for p in caught.value.problems)


@given(st.text(max_size=60), st.integers(0, len(TEXT)), st.integers(0, 30))
@settings(max_examples=100, deadline=None)
def test_whatever_a_hand_does_to_the_file_it_is_read_or_refused_in_sentences(typed, at, over):
    edited = TEXT[:at] + typed + TEXT[at + over :]
    problems = None
    try:
        parse_plan(edited.encode("utf-8", "surrogatepass"), "plan.yaml")
    except PlanFileError as error:
        problems = error.problems
    assert problems is None or all(str(p).startswith("plan.yaml:") for p in problems)


def test_the_file_has_one_row_to_a_line_in_order_of_time_with_the_weekday_above():
    lines = TEXT.splitlines()
    work = lines[lines.index("work:") + 1 : -1]
    friday, saturday = 'day: 2026-10-09, from: "09:00", to: "10:00"', 'day: 2026-10-10, from: "09:00", to: "10:12"'
    noon = 'day: 2026-10-10, from: "13:00", to: "14:12:30"'
    assert work == [
        "  # Fri 2026-10-09",
        f'  - {{{friday}, who: ["no"], lot: "-18 combs: old #1", step: freeze, pieces: 600, at: freezer}}',
        "  # Sat 2026-10-10",
        f'  - {{{saturday}, who: [Ines, Zoë], lot: brood boxes, step: "lift, turn", pieces: 12}}',
        f"  - {{{noon}, who: [Tomás], lot: brood boxes, step: scrape, pieces: 12, at: bench, set_up: 20}}",
    ]


def test_the_file_says_where_the_plan_came_from_and_that_it_may_be_edited():
    assert "edited by hand; `offseason audit`" in TEXT
    for line in (
        "scenario: winter.yaml",
        f'sha256: "{"ab" * 32}"',
        'made: "2026-10-01 18:30:00+00:00"',
        "proven: false",
    ):
        assert line in TEXT.splitlines()
    aim = "  - {aim: exposure of comb, unit: degree-days, reached: 120, best_possible: 118.5, gap_percent: 1.25}"
    assert aim in TEXT.splitlines()


def test_each_row_knows_its_line():
    lines = TEXT.splitlines()
    for row in parse_plan(TEXT, "plan.yaml").rows:
        assert row.line is not None
        assert f"pieces: {row.pieces}" in lines[row.line - 1]
        assert f"{row.end:%H:%M}" in lines[row.line - 1]


def test_an_hour_the_clock_shows_twice_keeps_which_of_the_two_is_meant():
    row = Row(date(2026, 10, 25), time(2, 40), time(2, 10, fold=1), ("Ines",), "combs", "freeze", 5)
    again = Row(date(2026, 10, 25), time(2, 10, fold=1), time(2, 40, fold=1), ("Ines",), "combs", "seal", 5)
    text = plan_text(Plan("w.yaml", "0" * 64, SMALL.made, "", False, (), (again, row)))
    assert 'from: "02:40", to: "02:10 again"' in text
    read = parse_plan(text, "plan.yaml").rows
    assert [(r.start.fold, r.end.fold) for r in read] == [(0, 1), (1, 1)]


def edited(old: str, new: str) -> str:
    assert TEXT.count(old) == 1, f"{old!r} stands {TEXT.count(old)} times in the text"
    return TEXT.replace(old, new)


LINE_OF = {line: number for number, line in enumerate(TEXT.splitlines(), 1)}
FREEZE_LINE = next(n for line, n in LINE_OF.items() if "step: freeze" in line)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("step: freeze", "stpe: freeze", "'stpe' is not a word known here; did you mean 'step'?"),
        ("step: freeze, ", "", "a row wants 'step', and there is none"),
        ("day: 2026-10-09", "day: 2026-13-09", "'2026-13-09' is not a day of the calendar"),
        ("day: 2026-10-09", "day: 9.10.2026", "'9.10.2026' is not a date; write year-month-day, as in 2026-10-17"),
        ('to: "10:00"', 'to: "08:00"', "this row ends at 08:00, before it begins at 09:00"),
        ('to: "10:00"', "to: 10", "'10' is not a time of day; write hours and minutes, as in 09:30"),
        ('to: "10:00"', "to: 24:30", "'24:30' is a time that no clock shows; hours go from 00:00 to 23:59"),
        ("pieces: 600", "pieces: 1.5", "'1.5' is not a whole number; write one such as 12"),
        ("pieces: 600", "pieces: -3", "'-3' is not a whole number; write one such as 12"),
        ("pieces: 600", "pieces: 999999999", "999999999 pieces are more than a lot can have (10,000,000)"),
        ("pieces: 600", "pieces: all", "'all' is not a whole number; write one such as 12"),
        ("pieces: 600", "pieces: [600]", "a list cannot stand here; write a whole number"),
        ("pieces: 600", "pieces: 600, pieces: 60", "'pieces' is already written on line"),
        ('who: ["no"]', "who: []", "nobody is named here; write who does this work, as in [Ines]"),
        ('who: ["no"]', "who: Ines, Tomas", "'Tomas' stands alone here; a name with a comma goes in quotes"),
        ('who: ["no"]', "who: [[Ines]]", "a list cannot stand here; write a name"),
        ('who: ["no"]', "who: [~]", "a name is missing here"),
        ("at: freezer", "at: ", "a name is missing here"),
        ("at: freezer", "set_up: soon", "'soon' is not a number; write one such as 12.5"),
        ("at: freezer", "set_up: -5", "'-5' minutes of set-up are not possible; write 0 to 1440"),
    ],
)
def test_a_slip_of_the_hand_in_a_row_is_told_at_its_line(old, new, says):
    with pytest.raises(PlanFileError) as caught:
        parse_plan(edited(old, new), "plan.yaml")
    told = [str(p) for p in caught.value.problems]
    assert any(says in t for t in told), told
    assert all(t.startswith(f"plan.yaml:{FREEZE_LINE}:") for t in told)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("format: 1", "format: 2", "this is layout 2 of a plan file, and only layout 1 can be read here"),
        ("format: 1\n", "", "a plan wants 'format', and there is none"),
        ("proven: false", "proven: perhaps", "'perhaps' is neither true nor false"),
        ("sha256: ", "sha265: ", "'sha265' is not a word known here; did you mean 'sha256'?"),
        ("ab" * 32, "ab" * 31, "is not the digest of a file"),
        ('"2026-10-01 18:30:00+00:00"', "yesterday", "'yesterday' is not a date and time; write it as in"),
        ("reached: 120", "reached: much", "'much' is not a number"),
        ("  - {aim: exposure", "  - exposure #", "an aim is made of keys and values"),
        ("end: of the plan", "# end", "the file is not whole, its last line ('end: of the plan') is missing"),
    ],
)
def test_a_slip_of_the_hand_in_the_header_is_told(old, new, says):
    with pytest.raises(PlanFileError) as caught:
        parse_plan(edited(old, new), "plan.yaml")
    assert any(says in str(p) for p in caught.value.problems), str(caught.value)


# --- the weather a plan was made with

RECORDS = (WeatherFile("weather/forecast.csv", "cd" * 32), WeatherFile("past: all.csv", "ef" * 32))


def test_a_plan_knows_the_weather_files_it_was_made_with():
    text = plan_text(replace(SMALL, records=RECORDS))
    assert f'  - {{file: weather/forecast.csv, sha256: "{"cd" * 32}"}}\n' in text
    assert parse_plan(text, "plan.yaml").records == RECORDS


def test_a_plan_written_without_its_weather_files_is_read_all_the_same():
    assert "records" not in TEXT
    assert parse_plan(TEXT, "plan.yaml").records == ()


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("cd" * 32, "cd" * 30, "is not the digest of a file; leave here the 64 signs that offseason wrote"),
        (f', sha256: "{"cd" * 32}"', "", "a file of weather wants 'sha256', and there is none"),
        ("records:\n", "records: forecast.csv\nrecord:\n", "'records' wants a list, one line for each"),
        ("records:\n", "records:\n  - forecast.csv\n", "a file of weather is made of keys and values (file, sha256)"),
    ],
)
def test_a_slip_of_the_hand_among_the_weather_files_is_told(old, new, says):
    text = plan_text(replace(SMALL, records=RECORDS))
    assert old in text
    with pytest.raises(PlanFileError) as caught:
        parse_plan(text.replace(old, new, 1), "plan.yaml")
    assert any(says in str(p) for p in caught.value.problems), str(caught.value)


def test_all_mistakes_are_told_at_once_in_the_order_of_the_file():
    text = (
        edited("pieces: 600", "pieces: many").replace('from: "13:00"', 'from: "13:00:61"').replace("proven", "prooven")
    )
    with pytest.raises(PlanFileError) as caught:
        parse_plan(text, "plan.yaml")
    assert [p.line for p in caught.value.problems] == sorted(p.line for p in caught.value.problems)
    assert len(caught.value.problems) == 3


def test_one_person_may_be_named_without_brackets():
    (row,) = (r for r in parse_plan(edited('who: ["no"]', "who: Ines"), "p").rows if r.step == "freeze")
    assert row.who == ("Ines",)


@pytest.mark.parametrize(
    "text", ["", "\n\n", "# nothing\n", "just words", "- a\n- list", b"\xff\xfe\x00", b"PK\x03\x04\x00\x00"]
)
def test_a_file_that_is_no_plan_is_refused_in_sentences(text):
    with pytest.raises(PlanFileError) as caught:
        parse_plan(text, "plan.yaml")
    assert all(str(p).startswith("plan.yaml") for p in caught.value.problems)


def test_a_work_list_that_is_no_list_is_refused():
    with pytest.raises(PlanFileError, match="'work' wants a list"):
        parse_plan(TEXT[: TEXT.index("work:")] + "work: later\nend: of the plan\n", "plan.yaml")


@pytest.mark.slow
def test_a_plan_of_six_thousand_rows_is_read():
    (row,) = (r for r in SMALL.rows if r.step == "scrape")
    plan = replace(SMALL, rows=tuple(replace(row, day=row.day + timedelta(days=n % 180)) for n in range(6_000)))
    assert len(parse_plan(plan_text(plan), "plan.yaml").rows) == 6_000


def test_a_written_plan_reads_back_and_leaves_nothing_else_behind(tmp_path):
    path = tmp_path / "plan of the winter, été.yaml"
    write_plan(path, SMALL)
    assert unordered(read_plan(path)) == unordered(SMALL)
    assert list(tmp_path.iterdir()) == [path]


def test_a_plan_that_cannot_be_finished_leaves_the_old_file_as_it_was(tmp_path, monkeypatch):
    path = tmp_path / "plan.yaml"
    path.write_text("the old plan")

    def full_disk(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full_disk)
    with pytest.raises(PlanFileError, match="the file cannot be written: there is no room left for it; make room"):
        write_plan(path, SMALL)
    assert path.read_text() == "the old plan"
    assert list(tmp_path.iterdir()) == [path]


def test_a_plan_written_again_keeps_the_permissions_of_the_file_and_the_link_to_it(tmp_path):
    path, link = tmp_path / "plan.yaml", tmp_path / "latest.yaml"
    write_plan(path, SMALL)
    path.chmod(0o640)
    link.symlink_to(path)
    write_plan(link, SMALL)
    assert link.is_symlink()
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


@pytest.mark.parametrize(
    ("name", "says"),
    [("none.yaml", "there is no file of this name"), ("", "this is not a file"), ("a\0b", "not one a file can have")],
)
def test_a_plan_that_is_not_there_is_told_in_a_sentence(tmp_path, name, says):
    with pytest.raises(PlanFileError, match=says):
        read_plan(tmp_path / name)


def test_a_folder_that_is_not_there_is_told_in_a_sentence(tmp_path):
    with pytest.raises(PlanFileError, match=r"there is no such folder as .*; make it first"):
        write_plan(tmp_path / "nowhere" / "plan.yaml", SMALL)
    with pytest.raises(PlanFileError):
        write_plan(Path(tmp_path), SMALL)


@pytest.mark.parametrize(
    "more", ["", "weather: {forecast: [forecast.csv]}\n", "gear: {boxes: {count: 3}}\nnonsense: 1\n"]
)
def test_a_scenario_given_for_a_plan_is_told_in_one_sentence(more):
    scenario = "season: {from: 2026-10-05, until: 2027-04-09}\ncrew: {Ines: {works: {sat: 09:00-12:00}}}\n"
    with pytest.raises(PlanFileError) as caught:
        parse_plan(scenario + more, "winter.yaml")
    told = [str(problem) for problem in caught.value.problems]
    assert told == ["winter.yaml: this looks like a scenario, not a plan; `offseason plan` makes a plan from it"]


@pytest.mark.slow
def test_a_plan_cut_off_anywhere_is_told_in_one_sentence_with_what_to_do():
    begins, ends = TEXT.index("format: ") + len("format: "), TEXT.index("end: of the plan")
    for length in range(begins, ends + 1):
        with pytest.raises(PlanFileError) as caught:
            parse_plan(TEXT[:length], "plan.yaml")
        told = [str(problem) for problem in caught.value.problems]
        assert told == [f"plan.yaml: {NOT_WHOLE}"], TEXT[:length]
    assert "missing: take the copy whose name ends in .before, if there is one, or plan again" in NOT_WHOLE


LEAVING = plan_text(replace(SMALL, left=(LeftOver("supers: old", "freeze", 40, "undone"),)))
LEFT_LINE = next(n for n, line in enumerate(LEAVING.splitlines(), 1) if "how:" in line)


def test_what_the_plan_leaves_is_written_with_a_line_above_that_says_what_it_is():
    lines = LEAVING.splitlines()
    assert lines[LEFT_LINE - 3 : LEFT_LINE] == [
        "# What this plan leaves: work never done (undone), combs open to moths (open), steps done too late (late).",
        "left:",
        '  - {lot: "supers: old", step: freeze, pieces: 40, how: undone}',
    ]
    assert parse_plan(LEAVING, "plan.yaml").left == (LeftOver("supers: old", "freeze", 40, "undone"),)


FULL = plan_text(replace(SMALL, left=(without_room("shed: new", 3, date(2026, 10, 12)),)))
FULL_LINE = next(n for n, line in enumerate(FULL.splitlines(), 1) if "how:" in line)


def test_a_place_without_room_is_written_with_its_day_and_a_line_above_that_says_what_it_is():
    lines = FULL.splitlines()
    assert lines[FULL_LINE - 3 : FULL_LINE] == [
        "# And places with so many spaces too few for what arrives, from that day on (overfull).",
        "left:",
        '  - {place: "shed: new", spaces: 3, from: 2026-10-12, how: overfull}',
    ]
    assert parse_plan(FULL, "plan.yaml").left == (without_room("shed: new", 3, date(2026, 10, 12)),)
    assert "overfull" not in LEAVING


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("how: overfull", "how: undone", "'undone' is no word for a place without room; write overfull"),
        ('place: "shed: new", ', "", "a place without room wants 'place', and there is none"),
        (", spaces: 3", "", "a place without room wants 'spaces', and there is none"),
        ("spaces: 3", "spaces: 0", "0 pieces are nothing left over; write 1 or more, or take this line out"),
        ("from: 2026-10-12, ", "", "a place without room wants 'from', and there is none"),
        ("from: 2026-10-12", "from: Monday", "'Monday' is not a date"),
        ("place:", "lot: boxes, place:", "'lot' is not a word known here"),
    ],
)
def test_a_slip_of_the_hand_in_a_place_without_room_is_told_at_its_line(old, new, says):
    assert FULL.count(old) == 1
    with pytest.raises(PlanFileError) as caught:
        parse_plan(FULL.replace(old, new), "plan.yaml")
    (problem,) = caught.value.problems
    assert (problem.line, says in problem.text) == (FULL_LINE, True), problem.text


def test_a_place_without_room_is_written_once():
    line = FULL.splitlines()[FULL_LINE - 1]
    with pytest.raises(PlanFileError, match="shed: new is said to be overfull twice"):
        parse_plan(FULL.replace(line, f"{line}\n{line}"), "plan.yaml")


def test_a_plan_that_leaves_nothing_has_no_word_of_it():
    assert "left:" not in TEXT
    assert parse_plan(TEXT, "plan.yaml").left == ()
    assert parse_plan(TEXT.replace("work:", "left: []\nwork:"), "plan.yaml").left == ()


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("how: undone", "how: forgotten", "'forgotten' is no way to leave work; write undone, open or late"),
        ("how: undone", "how: [late]", "a list cannot stand here; write undone, open or late"),
        (", how: undone", "", "what is left wants 'how', and there is none"),
        ("step: freeze, pieces: 40", "pieces: 40", "what is left wants 'step', and there is none"),
        ('lot: "supers: old", ', "", "what is left wants 'lot', and there is none"),
        (", pieces: 40", "", "what is left wants 'pieces', and there is none"),
        ("pieces: 40", "pieces: 0", "0 pieces are nothing left over; write 1 or more, or take this line out"),
        ("pieces: 40", "pieces: -4", "'-4' is not a whole number; write one such as 12"),
        ("pieces: 40", "pieces: some", "'some' is not a whole number; write one such as 12"),
        ("pieces: 40", "pieces: 4.5", "'4.5' is not a whole number; write one such as 12"),
        ("pieces: 40", "peices: 40", "'peices' is not a word known here; did you mean 'pieces'?"),
        ('{lot: "supers: old", step: freeze, pieces: 40, how: undone}', "forty supers", "is made of keys and values"),
    ],
)
def test_a_slip_of_the_hand_in_what_is_left_is_told_at_its_line(old, new, says):
    assert LEAVING.count(old) == 1
    with pytest.raises(PlanFileError) as caught:
        parse_plan(LEAVING.replace(old, new), "plan.yaml")
    told = [str(p) for p in caught.value.problems]
    assert any(says in t for t in told), told
    assert all(t.startswith(f"plan.yaml:{LEFT_LINE}:") for t in told)


def test_the_same_is_not_said_to_be_left_twice():
    line = next(line for line in LEAVING.splitlines(keepends=True) if "how: undone" in line)
    with pytest.raises(PlanFileError) as caught:
        parse_plan(LEAVING.replace(line, line + line.replace("pieces: 40", "pieces: 2")), "plan.yaml")
    number = LEAVING.splitlines(keepends=True).index(line) + 2
    assert f"plan.yaml:{number}:" in str(caught.value)
    assert "freeze of supers: old is said to be left undone twice; write it once" in str(caught.value)


def test_what_is_left_is_a_list():
    with pytest.raises(PlanFileError) as caught:
        parse_plan(TEXT.replace("work:", "left: forty supers\nwork:"), "plan.yaml")
    assert "'left' wants a list, one line for each, or [] for none" in str(caught.value)


def test_a_name_too_long_for_a_file_is_told_in_a_sentence(tmp_path):
    with pytest.raises(PlanFileError, match="the file cannot be read: "):
        read_plan(tmp_path / f"{'long ' * 100}.plan.yaml")


def test_a_plan_that_one_may_not_read_is_told_in_a_sentence(tmp_path, monkeypatch):
    def refused(*_: object) -> None:
        raise PermissionError

    monkeypatch.setattr(Path, "stat", refused)
    monkeypatch.setattr(Path, "open", refused)
    with pytest.raises(PlanFileError, match="the file cannot be read: you are not allowed to"):
        read_plan(tmp_path / "winter.plan.yaml")


@pytest.mark.parametrize("source", [TEXT + "\n" * 50_001, (TEXT + "\n" * 50_001).encode()], ids=["text", "bytes"])
def test_a_file_of_more_lines_than_any_plan_is_refused_before_it_is_read(source):
    with pytest.raises(PlanFileError) as caught:
        parse_plan(source, "plan.yaml")
    (problem,) = caught.value.problems
    assert problem.text == "these are more than 50,000 lines, and a plan has some thousand; is this the right file?"


def test_a_file_too_large_to_be_read_is_told_as_that_and_not_as_cut_off():
    with pytest.raises(PlanFileError) as caught:
        parse_plan(TEXT.partition("end:")[0] + "#" * 10_000_000, "plan.yaml")
    (problem,) = caught.value.problems
    assert problem.text != NOT_WHOLE
    assert "10 MB" in problem.text


def test_more_people_than_can_stand_around_one_piece_of_work_are_refused():
    crowd = ", ".join(f"helper {n}" for n in range(101))
    with pytest.raises(PlanFileError, match="101 people are named here; one row is done by 100 at most"):
        parse_plan(edited('who: ["no"]', f"who: [{crowd}]"), "plan.yaml")


@pytest.mark.parametrize("number", [float("inf"), float("-inf"), float("nan")])
def test_an_aim_that_is_endless_or_no_number_at_all_is_written_and_read_back_as_that(number):
    plan = replace(SMALL, aims=(Aim("exposure of comb", "degree-days", number, 118.5, 1.25),))
    (aim,) = parse_plan(plan_text(plan), "plan.yaml").aims
    assert repr(aim.reached) == repr(number)
