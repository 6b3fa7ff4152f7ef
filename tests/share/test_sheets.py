"""The table for spreadsheets and the text for a message."""

import csv
import io
from dataclasses import replace
from datetime import UTC, date, datetime, time

import pytest

from offseason.plan.document import LeftOver, Row
from offseason.share.handout import Changed, ChangeLine
from offseason.share.make_handout import handout
from offseason.share.sheets import text_of, work_csv
from offseason.trade.cautions import CAUTIONS

NOEL = 'Noël "the Younger", of Farther Quillet'
EVIL = [
    "=cmd()", "+1", "-1", "@sum", "\t=1", "\r=1", "\n=1", " =1", "＝cmd()", "＋1", "－1", "＠x", "a;=cmd()", "a,=cmd()",
    "a\t=x", '"=1', "'=1", 'x";=HYPERLINK("a")', "x\r\n=1",
]  # fmt: skip


def table_of(shown):
    source = work_csv(shown)
    assert source.startswith(b"\xef\xbb\xbf")
    assert source.endswith(b"\r\n")
    return list(csv.DictReader(io.StringIO(source.decode("utf-8-sig"), newline="")))


def flat(text):
    return " ".join(text.split())


# the table


def test_each_entry_is_a_line_of_the_table(scenario, plan, workload):
    done = replace(plan, rows=(replace(plan.rows[0], done=True), *plan.rows[1:]))
    lines = table_of(handout(scenario, done, workload))
    assert [list(line.values()) for line in lines] == [
        ["2026-10-05", "09:00", "09:18", "18", "Ines", "super combs", "freeze", "60", "", "", "done"],
        ["2026-10-05", "09:18", "10:06", "48", "Ines", "brood boxes", "scrape", "8", "bench", "lead; dust", ""],
        ["2026-10-12", "09:00", "10:32", "92", NOEL, "brood boxes", "first coat", "12", "", "solvents; oily rags", ""],
        [
            "2026-10-13",
            "09:00",
            "11:00",
            "120",
            f"Ines; {NOEL}",
            "rebuild the rack",
            "rebuild the rack",
            "8",
            "",
            "",
            "",
        ],
    ]


def test_lines_end_as_rfc_4180_has_it_and_no_cell_holds_another_end(scenario, plan, workload):
    odd = replace(plan, rows=(replace(plan.rows[0], who=("two\r\nlines", "line\u2028parted")),))
    source = work_csv(handout(scenario, odd, workload))
    assert source.count(b"\r\n") == source.count(b"\n") == source.count(b"\r") == 2
    assert len(source.decode().splitlines()) == 2


@pytest.mark.parametrize("name", EVIL)
@pytest.mark.parametrize("where", ["who", "lot", "step", "at"])
@pytest.mark.parametrize("parted_by", [",", ";", "\t"])
def test_no_cell_is_a_formula_wherever_it_comes_from_and_however_cells_are_parted(
    scenario, plan, workload, name, where, parted_by
):
    odd = replace(plan.rows[0], **{where: ("Ines", name) if where == "who" else name})
    source = work_csv(handout(scenario, replace(plan, rows=(odd,)), workload)).decode("utf-8-sig")
    for line in csv.reader(io.StringIO(source, newline=""), delimiter=parted_by):
        for cell in line:
            assert cell.lstrip(' \t\r\n"')[:1] not in set("=+-@＝＋－＠"), cell


def test_the_night_in_which_the_clocks_go_back_is_counted_as_it_passes(scenario, plan, workload):
    zoned = scenario.model_copy(update={"season": scenario.season.model_copy(update={"timezone": "CET"})})
    night = Row(date(2026, 10, 25), time(1, 30), time(3, 30), ("Ines",), "super combs", "freeze", 60)
    lines = table_of(handout(zoned, replace(plan, rows=(night,)), workload))
    assert lines[0]["minutes"] == "180"
    second = replace(night, start=time(2, 10), end=time(2, 10, fold=1))
    assert table_of(handout(zoned, replace(plan, rows=(second,)), workload))[0]["to"] == "02:10 again"


# the text


def test_the_text_of_a_person_is_their_work_day_by_day_with_whom_and_what_to_take_care_of(scenario, plan, workload):
    text = text_of(handout(scenario, plan, workload), "Ines")
    assert text.startswith("Winter at Quillet Yard: work of Ines\n")
    assert "\nMon 5 Oct 2026\n  09:00-09:18  freeze: 60 super combs\n" in text
    assert "  09:18-10:06  scrape: 8 brood boxes, at bench [lead, dust]\n" in text
    assert f"rebuild the rack, with {NOEL}" in flat(text)
    assert "Mon 12 Oct" not in text
    assert flat(CAUTIONS["lead"]) in flat(text)
    assert flat(CAUTIONS["solvents"]) not in flat(text)
    assert text.rstrip().endswith("local authority come before these numbers.")


def test_the_text_of_everybody_says_who(scenario, plan, workload):
    text = flat(text_of(handout(scenario, plan, workload), None))
    assert "09:00-09:18 Ines: freeze: 60 super combs" in text
    assert f"09:00-11:00 Ines and {NOEL}: rebuild the rack" in text
    assert flat(CAUTIONS["solvents"]) in text


def test_what_is_done_is_left_out_and_that_is_said(scenario, plan, workload):
    done = replace(plan, rows=tuple(replace(row, done=row.day.day == 5) for row in plan.rows))
    text = text_of(handout(scenario, done, workload), "Ines")
    assert "2 entries done already are left out" in flat(text)
    assert "Mon 5 Oct 2026" not in text
    assert "Tue 13 Oct 2026" in text


def test_days_that_are_over_when_a_plan_is_made_anew_bind_nobody_any_more(scenario, plan, workload):
    job = scenario.jobs["rebuild the rack"].model_copy(update={"by": date(2026, 10, 20)})
    told = scenario.model_copy(update={"jobs": {"rebuild the rack": job}})
    line = "Tue 20 Oct 2026: rebuild the rack: last day to do it"
    assert line in text_of(handout(told, plan, workload), None)
    of_the_day = replace(plan, since=datetime.combine(date(2026, 10, 20), time(9)))
    assert line in text_of(handout(told, of_the_day, workload), None)
    day_after = replace(plan, since=datetime.combine(date(2026, 10, 21), time()))
    assert line not in text_of(handout(told, day_after, workload), None)


def test_who_is_never_called_reads_so(scenario, plan, workload):
    alone = replace(plan, rows=plan.rows[:2])
    assert "No work is planned." in text_of(handout(scenario, alone, workload), NOEL)


def test_what_changed_and_what_does_not_fit_stand_before_the_work(scenario, plan, workload):
    lines = (ChangeLine(date(2026, 10, 12), NOEL, "left out"), ChangeLine(date(2026, 10, 13), "Ines", "called later"))
    changed = Changed(datetime(2026, 10, 1, tzinfo=UTC), lines)
    short = replace(plan, left=(LeftOver("brood boxes", "first coat", 4, "undone"),))
    text = text_of(handout(scenario, short, workload, changed), "Ines")
    at = [text.index(words) for words in ("Changed since", "What does not fit", "Mon 5 Oct 2026\n", "Days that bind")]
    assert at == sorted(at)
    assert "- Tue 13 Oct 2026: called later" in text
    assert "left out" not in text
    assert f"Mon 12 Oct 2026, {NOEL}: left out" in flat(text_of(handout(scenario, short, workload, changed), None))


@pytest.mark.parametrize("name", ["x" * 120, "word " * 24, "two\r\nlines \x1b[31m", "=cmd()", "日本 太郎"])
def test_the_text_fits_a_message_whatever_things_are_called(scenario, plan, workload, name):
    rows = tuple(replace(row, who=("Ines", name), lot=name, at=name) for row in plan.rows)
    odd = replace(plan, rows=rows)
    for who in (None, "Ines", name):
        text = text_of(handout(scenario, odd, workload), who)
        assert max(map(len, text.splitlines())) <= 80
        assert "\x1b" not in text
        assert "\r" not in text
