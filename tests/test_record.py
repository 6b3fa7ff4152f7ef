"""The command ``offseason record`` from its words to the log and to what it says."""

from __future__ import annotations

import io
import shlex
import subprocess
import sys
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from offseason.cli import main
from offseason.commands import record as recording
from offseason.plan.document import Plan
from offseason.plan.file import write_plan
from offseason.plan.origin import digest_of
from offseason.plan.progress.append import append
from offseason.plan.progress.log import read_log
from offseason.share.shell import for_shell
from tests.plan.progress.yards import SCENARIO, entry

ROOT = Path(__file__).parents[1]
DAYS_OF_OLD = [(d.year, d.month, d.day) for n in range(242) for d in [date(2024, 9, 1) + timedelta(days=n)]]


@pytest.fixture
def yard(tmp_path):
    (tmp_path / "winter.yaml").write_text(SCENARIO, "utf-8")
    made = datetime(2026, 10, 1, tzinfo=UTC)
    digest = digest_of(tmp_path / "winter.yaml")
    write_plan(tmp_path / "winter.plan.yaml", Plan("winter.yaml", digest, made, "by test", False, (), ()))
    return tmp_path


@pytest.fixture
def record(yard, capsys):
    """Records words on 17 October unless told otherwise; gives exit code, what is shown, what is complained of."""

    def run(*words: object, today: str = "2026-10-17") -> tuple[int, str, str]:
        capsys.readouterr()
        code = main(["record", str(yard / "winter.plan.yaml"), *map(str, words), "--today", today])
        out, err = capsys.readouterr()
        return code, " ".join(out.split()), " ".join(err.split())

    return run


def rows(yard: Path) -> list[str]:
    return [f"{e.day.day} {'+'.join(e.who)} {e.step} {e.pieces}" for e in read_log(yard / "winter.log.yaml").entries]


def sorted_out(record) -> None:
    assert record("Maren", "sort", "out", "all", "super", "combs", "on", "2026-10-07")[0] == 0


def test_a_line_goes_into_the_log_and_how_the_work_stands_is_told(yard, record):
    sorted_out(record)
    assert record("Maren", "freeze", "160", "super", "combs", today="2026-10-14")[0] == 0
    code, out, err = record("Maren", "freeze", "80", "super", "combs", "25", "min", '"lid"')
    assert (code, err) == (
        2,
        "'\"lid\"' is not clear; put a note in quotes, or behind the word note. Nothing was recorded.",
    )
    code, out, err = record("Maren", "freeze", "80", "super", "combs", "25", "min", "two lids cracked")
    assert (code, err) == (0, "")
    assert 'Sat 17 Oct 2026 Maren freeze, super combs: 80, 25 min, "two lids cracked"' in out
    assert "super combs, freeze: 240 of 400 done; 80 today." in out
    assert rows(yard) == ["7 Maren sort out 400", "14 Maren freeze 160", "17 Maren freeze 80"]


def test_a_minus_sign_is_no_option(yard, record):
    sorted_out(record)
    record("Maren", "freeze", "80", "super", "combs")
    code, out, _ = record("Maren", "freeze", "-80", "super", "combs", "freezer failed")
    assert code == 0
    assert "super combs, freeze: 0 of 400 done; 0 today." in out
    assert sorted(rows(yard)) == ["17 Maren freeze -80", "17 Maren freeze 80", "7 Maren sort out 400"]


def test_options_may_stand_anywhere_between_the_words(yard, record):
    assert (
        record("--scenario", yard / "winter.yaml", "Wilhelmina", "--keep-good", "look", "over", "stored", "comb")[0]
        == 0
    )
    assert "there is no option --tody here; did you mean --today?" in record("Maren", "--tody", "freeze")[2]


def test_the_whole_line_may_be_put_in_quotes(yard, record):
    assert record("Maren sort out 10 super combs 'x' note lid")[0] == 2
    assert record('Maren sort out 10 super combs "lid"')[0] == 0
    assert read_log(yard / "winter.log.yaml").entries[0].note == "lid"


def test_slips_are_forgiven_and_said(record):
    code, out, _ = record("marne", "srot", "out", "10", "super", "comb")
    assert code == 0
    assert out.startswith("taken as: Maren sort out 10 super combs")


def test_what_cannot_be_is_told_and_no_log_is_begun(yard, record):
    code, out, err = record("Maren", "freeze", "80", "super", "combs")
    assert (code, out) == (2, "")
    assert err.startswith("only 0 of 'super combs' are through 'sort out' by 2026-10-17")
    assert err.endswith("Nothing was recorded.")
    assert "did you mean 'Maren'?" in record("Marrrten", "sort", "out", "10", "super", "combs")[2]
    assert not (yard / "winter.log.yaml").exists()


def test_what_is_odd_is_recorded_and_remarked(record):
    code, out, _ = record("Joss", "sort", "out", "10", "super", "combs", "on", "2026-10-12")
    assert code == 0
    assert "- by the scenario Joss is not there on Mon 2026-10-12." in out


def test_without_words_an_example_is_told(record):
    assert "write it as in 'offseason record winter.plan.yaml Maren freeze 80 super combs 25 min'" in record()[2]
    assert "not both" in record("Maren", "--from", "x.txt")[2]


NOTES = """\
# from the door of the shed
- Maren freeze 80 super combs on 2026-10-13      # before it was sorted, in the file
Maren sort out 80 super combs on 2026-10-12

Maren sort out 20 super combs
Maren sort out 20 super combs
Joss + Maren clean the extractor 1 h on yesterday "new gasket"
"""


def test_the_lines_of_a_file_are_recorded_in_the_order_of_the_work(yard, record):
    (yard / "notes.txt").write_text(NOTES, "utf-8")
    code, out, err = record("--from", yard / "notes.txt")
    assert (code, err) == (0, "")
    assert "super combs, sort out: 120 of 400 done; 80 on Mon 12 Oct and 40 today." in out
    assert "clean the extractor: 8 of 12 parts done; 8 on Fri 16 Oct." in out
    assert rows(yard)[:2] == ["12 Maren sort out 80", "13 Maren freeze 80"]
    assert len(rows(yard)) == 5


def test_a_file_read_again_or_grown_doubles_nothing(yard, record):
    (yard / "notes.txt").write_text(NOTES, "utf-8")
    record("--from", yard / "notes.txt")
    (yard / "notes.txt").write_text(f"# a new line above\n{NOTES}Maren sort out 5 super combs\n", "utf-8")
    code, out, _ = record("--from", yard / "notes.txt", today="2026-10-19")
    assert code == 0
    assert "If it was done once more, write the day: on 2026-10-19." in out
    assert len(rows(yard)) == 6
    assert rows(yard)[-1] == "19 Maren sort out 5"
    assert record("--from", yard / "notes.txt", today="2026-10-21")[1].startswith("Nothing new was recorded.")
    assert len(rows(yard)) == 6


def test_nothing_of_a_file_is_recorded_where_a_line_is_wrong_unless_the_good_ones_are_kept(yard, record):
    notes = yard / "notes.txt"
    notes.write_text(f'{NOTES}Maren polish 3 super combs\nMaren sort out 500 super combs\nMaren "sort\n', "utf-8")
    code, out, err = record("--from", notes)
    assert (code, out) == (2, "")
    assert f"{notes}:8: 'polish' is not known here" in err
    assert f"{notes}:9: of 400 'super combs' for 'sort out' 120 are done" in err
    assert f"{notes}:10: the quote opened here is never closed." in err
    assert not (yard / "winter.log.yaml").exists()
    code, out, err = record("--from", notes, "--keep-good")
    assert code == 2
    assert "Recorded in" in out
    assert err.endswith("These were not recorded.")
    assert len(rows(yard)) == 5


def test_lines_may_be_typed_in(yard, record, monkeypatch):
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(NOTES.encode())))
    assert record("--from", "-")[0] == 0
    assert len(rows(yard)) == 5


def test_the_logs_of_two_helpers_become_one_without_loss_or_doubling(yard, record):
    sorted_out(record)
    common = (yard / "winter.log.yaml").read_bytes()
    joss, wilhelmina = yard / "joss.log.yaml", yard / "wilhelmina.log.yaml"
    for path, who in ((joss, "Joss"), (wilhelmina, "Wilhelmina")):
        path.write_bytes(common)
        append(path, [entry(40, "freeze", "super combs", day, who, id=f"{who}{day}") for day in (13, 14)])
    code, out, _ = record("--from", joss, "--from", wilhelmina)
    assert code == 0
    assert "2 rows that are in the log already: not recorded once more." in out
    assert len(rows(yard)) == 5
    assert record("--from", wilhelmina, "--from", joss)[1].startswith("Nothing new was recorded.")
    assert len(rows(yard)) == 5


def test_a_row_that_another_log_has_in_other_words_is_left_to_the_keeper(yard, record):
    sorted_out(record)
    other = yard / "other.log.yaml"
    other.write_text((yard / "winter.log.yaml").read_text("utf-8").replace("pieces: 400", "pieces: 390"), "utf-8")
    code, _, err = record("--from", other)
    assert code == 2
    assert "other.log.yaml:4: this row has the id of line 4 of the log and says something else." in err


def test_a_row_that_was_cut_off_is_told_and_the_next_is_recorded(yard, record):
    sorted_out(record)
    with (yard / "winter.log.yaml").open("a") as stream:
        stream.write("- {id: q, date: 2026-10-12, who: [Mar")
    code, out, _ = record("Maren", "freeze", "80", "super", "combs")
    assert code == 0
    assert "this row was cut off while it was written, and does not count: - {id: q, date:" in out
    assert "winter.log.yaml:5:" in out.replace(" ", "")  # a long path is broken at the edge of the terminal
    assert rows(yard) == ["7 Maren sort out 400", "17 Maren freeze 80"]


def test_a_log_a_hand_has_broken_is_told_with_its_line_and_left_alone(yard, record):
    sorted_out(record)
    path = yard / "winter.log.yaml"
    path.write_text(path.read_text("utf-8").replace("pieces: 400", "pieces: many"), "utf-8")
    before = path.read_bytes()
    code, _, err = record("Maren", "freeze", "80", "super", "combs")
    assert code == 2
    assert "winter.log.yaml:4:" in err
    assert "'many' is not a whole number" in err
    assert path.read_bytes() == before


def test_two_who_record_the_last_pieces_at_once_do_not_both_have_them(yard, record):
    sorted_out(record)
    words = ["Maren", "freeze", "250", "super", "combs", "--today", "2026-10-17"]
    command = [sys.executable, "-m", "offseason", "record", str(yard / "winter.plan.yaml"), *words]
    both = [subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE) for _ in range(2)]
    for process in both:
        process.communicate(timeout=300)
    assert sorted(process.returncode for process in both) == [0, 2]
    assert rows(yard)[1:] == ["17 Maren freeze 250"]


def test_an_old_plan_of_a_changed_scenario_records_by_the_scenario_as_it_is_now(yard, record):
    path = yard / "winter.yaml"
    path.write_text(SCENARIO.replace("  Joss:", "  Ottilie: {works: {sat: 09:00-16:00}}\n  Joss:"), "utf-8")
    assert record("Ottilie", "sort", "out", "10", "super", "combs")[0] == 0


def test_files_that_are_not_there_or_no_text_are_told(yard, record):
    assert "nowhere.txt" in record("--from", yard / "nowhere.txt")[2]
    assert "this is not a file" in record("--from", yard)[2]
    (yard / "notes.txt").write_bytes(b"\xff\xfe\x00x\x00")
    assert record("--from", yard / "notes.txt")[0] == 2
    assert not (yard / "winter.log.yaml").exists()


def test_a_typing_mistake_is_told_with_the_whole_command_to_copy(yard, record, capsys):
    sorted_out(record)
    plan = yard / "winter.plan.yaml"
    capsys.readouterr()
    assert main(["record", str(plan), "Maren", "frez", "8", "super", "combs", "two lids", "--today", "2026-10-17"]) == 2
    line = capsys.readouterr().err.splitlines()[1]
    assert line == f'  offseason record {plan} Maren freeze 8 super combs "two lids"'
    words = shlex.split(line)
    assert main([*words[1:], "--today", "2026-10-17"]) == 0
    assert rows(yard)[-1] == "17 Maren freeze 8"
    (yard / "notes.txt").write_text("Maren frez 9 super combs\n", "utf-8")
    _, _, err = record("--from", yard / "notes.txt")
    assert "did you mean 'freeze'? Write: Maren freeze 9 super combs Nothing was recorded." in err


@pytest.mark.parametrize("word", ["two lids", "it's", "Ma 'X'", '3" nails', "#1", "Zoë", "$5", "a\\b c", "50 %", "+"])
def test_words_to_copy_come_through_a_shell_as_they_are(word):
    assert shlex.split(f"offseason {for_shell(word)}") == ["offseason", word]


def test_all_boxes_are_put_on_but_those_that_wait_to_be_mended_and_it_is_said(record):
    record("Maren", "rebuild", "the", "rack", "done")
    record("Maren", "scrape", "all", "deep boxes, old paint")
    code, out, _ = record("Maren", "first coat", "all", "deep boxes, old paint")
    assert code == 0
    assert "deep boxes, old paint, first coat: 30 of 40 done" in out
    assert "all of 'deep boxes, old paint' is taken as 30: 10 more are to be through 'mend' first." in out


def test_the_clock_of_the_yard_tells_what_is_still_to_come(yard, capsys, monkeypatch):
    (yard / "winter.yaml").write_text(SCENARIO.replace("2027-03-28}", "2027-03-28, timezone: Asia/Tokyo}", 1), "utf-8")

    class Clock(datetime):
        @classmethod
        def now(cls, tz=None):
            return datetime(2026, 10, 17, 6, 0, tzinfo=UTC).astimezone(tz)  # 15:00 there

    monkeypatch.setattr(recording, "datetime", Clock)
    words = ["record", str(yard / "winter.plan.yaml"), "Maren", "sort out", "10", "super combs", "until"]
    assert main([*words, "15:01"]) == 2
    assert capsys.readouterr().err.startswith(
        "15:01 is still to come: it is 15:00 now; only what was done is recorded."
    )
    assert main([*words, "14:30"]) == 0


def test_more_in_the_freezer_than_it_holds_is_recorded_and_remarked(record):
    sorted_out(record)
    code, out, _ = record("Maren", "freeze", "120", "super", "combs")
    assert code == 0
    assert "- 'chest freezer' holds 80 combs at once, and with this there were 120 in it on 2026-10-17" in out


def test_a_file_of_endless_lines_is_not_taken_line_by_line(yard, record):
    (yard / "lines.txt").write_text("x\n" * 5_001, "utf-8")
    code, _, err = record("--from", yard / "lines.txt")
    assert code == 2
    assert "it has 5,001 lines, and 5,000 are the most that are taken at once; is it the right file?" in err


def test_of_many_wrong_lines_the_first_are_told_and_how_many_more_there_are(yard, record):
    (yard / "lines.txt").write_text("nonsense\n" * 130, "utf-8")
    code, _, err = record("--from", yard / "lines.txt")
    assert code == 2
    assert err.count("lines.txt:") == 100
    assert "So are 30 more." in err


def test_a_file_whose_name_begins_with_a_dash_is_not_taken_for_an_option():
    assert for_shell("-x.yaml") == "./-x.yaml"


def test_a_mark_of_a_list_before_a_mere_remark_is_no_work(yard, record):
    (yard / "notes.txt").write_text("-   # on Saturday:\n- Maren sort out 5 super combs\n", "utf-8")
    code, _, err = record("--from", yard / "notes.txt")
    assert (code, err) == (0, "")
    assert rows(yard) == ["17 Maren sort out 5"]


def test_where_nothing_can_be_typed_in_a_file_is_asked_for(yard, record, monkeypatch):
    monkeypatch.setattr(sys, "stdin", None)
    code, _, err = record("--from", "-")
    assert (code, err) == (2, "--from -: there is nothing to read from; name a file instead.")
    assert not (yard / "winter.log.yaml").exists()


def test_what_others_recorded_while_the_log_was_waited_for_counts(yard, record, monkeypatch):
    sorted_out(record)
    held = recording.held

    def after_joss(path):
        append(path, [entry(300, "freeze", "super combs", 16, "Joss")])
        return held(path)

    monkeypatch.setattr(recording, "held", after_joss)
    code, out, err = record("Maren", "freeze", "250", "super", "combs")
    assert (code, out) == (2, "")
    assert "of 400 'super combs' for 'freeze' 300 are done" in err
    assert rows(yard) == ["7 Maren sort out 400", "16 Joss freeze 300"]


def test_work_that_waits_for_fit_weather_is_recorded_in_a_yard_that_keeps_records(yard, record):
    scrape = "scrape: {minutes_each: 5, at: bench"
    fair = "".join(f"{year}-{month:02d}-{day:02d},14,22,55,0,2\n" for year, month, day in DAYS_OF_OLD)
    (yard / "records.csv").write_text(
        f"day,lowest [°C],highest [°C],humidity [%],rain [mm],wind [m/s]\n{fair}", "utf-8"
    )
    told = (
        "weather: {history: records.csv, beyond_forecast: middle year, needs: {painting: {like: painting with latex}}}"
    )
    (yard / "winter.yaml").write_text(f"{SCENARIO.replace(scrape, f'{scrape}, weather: painting', 1)}{told}\n", "utf-8")
    code, out, err = record("Maren", "scrape", "10", "deep boxes, old paint")
    assert (code, err) == (0, "")
    assert "deep boxes, old paint, scrape: 10 of 40 done" in out
