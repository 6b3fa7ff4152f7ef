"""The log file: what is written reads back the same, and no broken row hides or loses another."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time
from itertools import permutations
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from offseason.plan.progress.entry import Entry, in_order, new_id
from offseason.plan.progress.log import Log, LogFileError, log_beside, parse_log, read_log
from offseason.plan.progress.merge import merged
from offseason.plan.progress.rows import clean_note, entry_text
from tests.plan.progress.yards import entry
from tests.plan.test_plan_file import NAMES

FIRST = 'id: a1b2c3d4e5, date: 2026-10-12, until: "14:30", who: [Maren], lot: combs, step: freeze, pieces: 80'
ROWS = [
    f'- {{{FIRST}, minutes: 25, note: "lid cracked"}}',
    "- {id: b1b2c3d4e5, date: 2026-10-13, who: [Maren, Joss], lot: super combs, step: seal, pieces: 80}",
    "- {id: c1b2c3d4e5, date: 2026-10-14, who: [Joss], lot: super combs, step: freeze, pieces: -80}",
]
TEXT = "# what was done\n" + "\n".join(ROWS) + "\n"

ENTRIES = st.builds(
    Entry,
    st.sampled_from(["7f3a9c2e1b", "1234567890", "12e4567890", "id: 1", "ö"]) | st.builds(new_id),
    st.dates(date(1900, 1, 1), date(2199, 12, 31)),
    st.lists(NAMES, min_size=1, max_size=3, unique=True).map(tuple),
    NAMES,
    NAMES,
    st.integers(-10_000_000, 10_000_000).filter(bool),
    st.none() | st.builds(time, st.integers(0, 23), st.integers(0, 59)),
    st.none() | st.floats(0.01, 1440),
    st.text(max_size=60),
)


def read(text: str) -> Log:
    return parse_log(text.encode(), "winter.log.yaml")


def mistakes(text: str | bytes) -> str:
    with pytest.raises(LogFileError) as caught:
        parse_log(text if isinstance(text, bytes) else text.encode(), "winter.log.yaml")
    return str(caught.value)


@pytest.mark.parametrize(
    ("plan", "log"),
    [
        ("winter.plan.yaml", "winter.log.yaml"),
        ("w.yaml", "w.log.yaml"),
        (".yaml", ".yaml.log.yaml"),
        ("p", "p.log.yaml"),
    ],
)
def test_the_log_lies_beside_the_plan_under_its_name(plan, log):
    assert log_beside(Path("yard") / plan) == Path("yard") / log


def test_a_row_reads_as_it_says():
    one = read(TEXT).entries[0]
    assert one == Entry(
        "a1b2c3d4e5", date(2026, 10, 12), ("Maren",), "combs", "freeze", 80, time(14, 30), 25.0, "lid cracked"
    )
    assert one.line == 2
    assert entry_text(one) == ROWS[0]


@pytest.mark.slow
@given(st.lists(ENTRIES, max_size=5, unique_by=lambda e: e.id))
def test_what_is_written_reads_back_the_same(entries):
    found = read("".join(f"{entry_text(e)}\n" for e in entries))
    assert found.entries == tuple(sorted((replace(e, note=clean_note(e.note)) for e in entries), key=in_order))


@given(st.lists(ENTRIES, min_size=1, max_size=4, unique_by=lambda e: e.id))
def test_each_entry_is_one_line_whatever_its_names_are(entries):
    assert all(len(entry_text(e).splitlines()) == 1 for e in entries)


def test_a_log_that_is_not_there_or_has_no_rows_yet_is_empty(tmp_path):
    assert read_log(tmp_path / "winter.log.yaml") == Log()
    assert read("") == read("# what was d") == read("\n# x\n\n") == Log()


@pytest.mark.parametrize("bites", range(1, 60))
def test_wherever_the_last_row_was_cut_off_all_others_count_and_it_is_told(bites):
    whole = '- {id: d1b2c3d4e5, date: 2026-10-15, who: [Zoë], lot: "a: b", step: freeze, pieces: 8, note: "x } 🐝 y"}'
    cut = whole.encode()[: max(1, len(whole.encode()) - bites * 2)]
    for after in (b"", b"\n", b"\n" + ROWS[2].encode() + b"\n"):
        log = parse_log(("\n".join(ROWS[:2]) + "\n").encode() + cut + after, "winter.log.yaml")
        assert len(log.entries) == (3 if ROWS[2].encode() in after else 2)
        (remark,) = log.remarks
        assert remark.startswith("winter.log.yaml:3: this row was cut off while it was written")
        assert cut.decode("utf-8", "replace").strip() in remark


def test_a_row_that_lost_only_the_end_of_its_line_counts():
    assert len(read(TEXT.rstrip("\n")).entries) == 3
    assert read(TEXT.rstrip("\n")).remarks == ()


def test_the_empty_bytes_of_a_power_cut_hide_nothing():
    log = parse_log(TEXT.encode() + b"\0" * 30 + b"\n" + ROWS[2].replace("c1", "d1").encode(), "winter.log.yaml")
    assert len(log.entries) == 4
    assert "30 bytes in it are empty" in log.remarks[0]


def test_rows_in_the_wrong_order_are_taken_by_their_day_and_it_is_told():
    log = read("\n".join(reversed(ROWS)))
    assert [e.id[0] for e in log.entries] == ["a", "b", "c"]
    assert "lines 2 and 3 are each of an earlier day than the row before" in log.remarks[0]


def test_a_row_that_stands_twice_counts_once_and_it_is_told():
    log = read("\n".join([*ROWS, ROWS[0]]))
    assert len(log.entries) == 3
    assert "line 4 is the row of winter.log.yaml, line 1 once more: such rows count once." in log.remarks[0]


def test_a_row_copied_by_hand_and_changed_counts_besides_for_work_is_never_lost():
    log = read("\n".join([*ROWS, ROWS[2].replace("-80", "-20")]))
    assert sorted(e.pieces for e in log.entries) == [-80, -20, 80, 80]
    assert "line 4 has the id of winter.log.yaml, line 3 and says something else: both count" in log.remarks[0]


def test_rows_written_by_hand_without_an_id_count_each_and_keep_theirs():
    bare = "- {date: 2026-10-12, who: Maren, lot: super combs, step: freeze, pieces: 80}\n"
    log = read(bare * 2)
    assert len({e.id for e in log.entries}) == 2
    assert merged(log, read(bare * 2)).entries == log.entries
    assert merged(log, read("# a line above\n" + bare * 2)).entries == log.entries


def test_a_row_spread_over_lines_by_hand_is_read():
    log = read("- id: q\n  date: 2026-10-12\n  who: [Maren]\n  lot: super combs\n  step: freeze\n  pieces: +80 # x\n")
    assert (log.entries[0].pieces, log.entries[0].who) == (80, ("Maren",))


def test_mistakes_of_a_hand_are_told_all_with_line_and_column():
    told = mistakes(
        "\n".join(
            [
                ROWS[0].replace("pieces: 80", "pieces: eighty"),
                ROWS[1].replace("2026-10-13", "2026-13-13"),
                ROWS[1].replace("step", "stpe"),
                ROWS[2].replace("-80", "0"),
                ROWS[0].replace("25", "-5"),
                ROWS[1].replace("[Maren, Joss]", "[]"),
                ROWS[0].replace("14:30", "25:30"),
            ]
        )
    )
    assert "winter.log.yaml:1:102: 'eighty' is not a whole number; write one such as 80, or -80 to take back 80" in told
    assert "winter.log.yaml:2:26: '2026-13-13' is not a day of the calendar" in told
    assert "did you mean 'step'?" in told
    assert "a row of 0 pieces says nothing" in told
    assert "'-5' minutes are not possible" in told
    assert "nobody is named here" in told
    assert "'25:30' is a time that no clock shows" in told


def test_what_is_no_log_is_told():
    assert "a row of a log begins with '- {'" in mistakes("season: {from: 2026-10-05}\n")
    assert "saved as UTF-16" in mistakes(TEXT.encode("utf-16"))
    assert "winter.log.yaml:1:" in mistakes("- {id: x, date: 2026-10-12]}\n- {}\n")


def test_a_folder_in_place_of_the_log_is_told(tmp_path):
    with pytest.raises(LogFileError, match="this is not a file"):
        read_log(tmp_path)


SMALL = st.lists(
    st.builds(
        entry,
        st.sampled_from([80, 40]),
        st.sampled_from(["freeze", "seal"]),
        st.just("super combs"),
        st.integers(10, 12),
        id=st.sampled_from("abcd"),
    ),
    max_size=5,
)


def as_read(entries: list[Entry]) -> Log:
    return read("".join(f"{entry_text(e)}\n" for e in entries))


@given(SMALL, SMALL, SMALL)
def test_logs_merge_to_the_same_in_any_order_and_however_often(one, two, three):
    logs = [as_read(one), as_read(two), as_read(three)]
    ways = {merged(merged(a, b), c).entries for a, b, c in permutations(logs)}
    ways |= {merged(a, merged(b, c)).entries for a, b, c in permutations(logs)}
    assert len(ways) == 1
    (way,) = ways
    assert merged(Log(way), logs[0]).entries == way
    assert set(way) == {*one, *two, *three}
    assert len(set(way)) == len(way)


@given(SMALL)
def test_a_log_merged_with_itself_is_itself(one):
    log = as_read(one)
    assert merged(log, log).entries == log.entries
    assert merged(log, Log()).entries == merged(Log(), log).entries == log.entries


def test_what_differs_under_one_id_is_told_when_logs_merge():
    one, two = read(ROWS[0]), read(ROWS[0].replace("pieces: 80", "pieces: 75"))
    (remark,) = merged(one, two).remarks
    assert "says something else: both count" in remark


def test_who_is_named_twice_in_a_row_is_counted_once_and_told():
    log = read(
        "- {date: 2026-10-12, who: [Maren, Joss, Maren], lot: super combs, step: seal, pieces: 8, minutes: 20}\n"
    )
    assert log.entries[0].who == ("Maren", "Joss")
    assert log.remarks == ("winter.log.yaml:1: Maren is named more than once in this row; counted once.",)


def test_a_file_of_more_rows_than_a_winter_has_is_refused_before_they_are_read(monkeypatch):
    monkeypatch.setattr("offseason.plan.progress.log._MOST_ROWS", 2)
    assert "rows" in mistakes(TEXT)
    assert "is this the right file?" in mistakes(TEXT)


def test_rows_cut_off_again_and_again_were_not_cut_off_by_a_power_cut(monkeypatch):
    cut = "\n".join(row[:60] for row in ROWS) + "\n"
    assert len(read(cut).remarks) == 3
    monkeypatch.setattr("offseason.plan.progress.log._MOST_TORN", 2)
    assert mistakes(cut).startswith("winter.log.yaml:3:1: ")


def test_what_is_longer_than_any_row_is_a_mistake_and_no_row_cut_off():
    long = ROWS[0].replace("lid cracked", "lid cracked " * 1_000)
    assert read(f"{long}\n").entries[0].pieces == 80
    assert "winter.log.yaml:2" in mistakes(f"{ROWS[1]}\n{long[:-3]}\n")


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        (
            "id: a1b2c3d4e5",
            f"id: {'a' * 121}",
            "is too long for an id; delete 'id' and what follows it, and one is made",
        ),
        ("pieces: 80, minutes", "pieces: 100000000, minutes", "100000000 pieces are more than a lot can have"),
    ],
)
def test_numbers_and_ids_beyond_all_measure_are_told(old, new, says):
    assert TEXT.count(old) == 1
    assert says in mistakes(TEXT.replace(old, new))
