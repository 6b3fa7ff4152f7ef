"""``offseason share``: all that helpers get, in one folder, and nothing of anybody else's is touched."""

from __future__ import annotations

import csv
import io
import json
import os
import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
import yaml

from offseason.cli import main
from offseason.plan.audit import audit
from offseason.plan.document import LeftOver
from offseason.plan.file import read_plan, write_plan
from offseason.plan.progress.log import log_beside, read_log
from offseason.share import folder as folder_module
from offseason.share.exit_codes import DONE, FILE_WRONG
from offseason.share.folder import STATE, Ours, ours_in, to_keep, write_all
from tests.begun import SMALL, first_plan, read, small

COMMON = {"page.html", "everybody.ics", "everybody.txt", "work.csv", "winter.svg", "shared.plan.yaml", STATE}
HOSTILE = [
    "<script>alert(1)</script>", "=cmd()", "../../x", "two | lines", "שרה", "x" * 120, "🐝 Bo", "con",
    "Ann", "ann.", "everybody",
]  # fmt: skip


@pytest.fixture(scope="module")
def small_plan():
    plan = first_plan(read(small()))
    assert not audit(read(small()), plan, None)
    return plan


@pytest.fixture
def yard(tmp_path, small_plan):
    """The small winter as files: a scenario and the plan beside it."""
    (tmp_path / "winter.yaml").write_text(SMALL, encoding="utf-8")
    write_plan(tmp_path / "winter.plan.yaml", small_plan)
    return tmp_path


def said(capsys, *words: object) -> tuple[int, str, str]:
    capsys.readouterr()
    code = main([str(word) for word in words])
    out, err = capsys.readouterr()
    assert all(len(line) <= 80 or "/" in line for line in out.splitlines()), out  # paths stand as they are
    return code, " ".join(out.split()), " ".join(err.split())


def shared(capsys, yard, *words: object) -> str:
    code, out, err = said(capsys, "share", yard / "winter.plan.yaml", "--to", yard / "out", *words)
    assert (code, err) == (DONE, "")
    return out


def refused(capsys, yard, *words: object) -> str:
    before = everything(yard)
    code, out, err = said(capsys, "share", yard / "winter.plan.yaml", *words)
    assert (code, out) == (FILE_WRONG, "")
    assert everything(yard) == before
    return err


def everything(yard):
    return {
        str(path.relative_to(yard)): str(path.readlink()) if path.is_symlink() else path.is_file() and path.read_bytes()
        for path in yard.rglob("*")
    }


def names_in(yard):
    return {path.name for path in (yard / "out").iterdir()}


def text_in(yard, name):
    return (yard / "out" / name).read_text(encoding="utf-8")


def replanned_by_hand(yard, change):
    """The plan with each row as ``change`` makes it, made a day later."""
    plan = read_plan(yard / "winter.plan.yaml")
    rows = tuple(replace(change(row), line=None) for row in plan.rows)
    write_plan(yard / "winter.plan.yaml", replace(plan, rows=rows, made=plan.made + timedelta(days=1)))


def an_hour_less_for_tomas(row):
    return replace(row, who=tuple("Ines" if name == "Tomas" and len(row.who) == 1 else name for name in row.who))


# what is there


def test_everything_for_helpers_is_there_and_each_file_is_told_with_what_it_is_for(capsys, yard):
    out = shared(capsys, yard)
    people = {f"{name}.{kind}" for name in ("Ines", "Tomas") for kind in ("ics", "txt")}
    assert names_in(yard) == COMMON | people
    assert [name for name in sorted(names_in(yard)) if name not in out] == []
    assert "#who=NAME" in out
    assert "imported again" in out
    assert out.endswith(f"The plan is shared in {yard / 'out'}.")
    assert set(everything(yard)) - {"winter.yaml", "winter.plan.yaml", "out"} == {f"out/{n}" for n in names_in(yard)}


def test_the_forms_tell_the_same_work(capsys, yard, small_plan):
    shared(capsys, yard)
    rows = list(csv.DictReader(io.StringIO((yard / "out" / "work.csv").read_text(encoding="utf-8-sig"))))
    assert len(rows) == len(small_plan.rows) == text_in(yard, "page.html").count('class="entry')
    of_tomas = [row for row in small_plan.rows if "Tomas" in row.who]
    assert len([line for line in text_in(yard, "Tomas.txt").splitlines() if re.match(r"  \d\d:\d\d", line)]) == len(
        of_tomas
    )
    assert "<svg" in text_in(yard, "page.html")
    assert "<svg" in text_in(yard, "winter.svg")
    assert "BEGIN:VEVENT" in text_in(yard, "Ines.ics")


def test_lines_of_the_page_are_taken_by_record(capsys, yard, small_plan):
    from html import unescape  # noqa: PLC0415

    shared(capsys, yard)
    lines = re.findall(r"""data-record=(?:"([^"]*)"|'([^']*)')""", text_in(yard, "page.html"))
    first = min(small_plan.rows, key=lambda row: (row.day, row.start))
    done = [line for line in (unescape("".join(pair)) for pair in lines) if line.startswith(str(first.day))]
    (yard / "sent.txt").write_text("\n".join(done), encoding="utf-8")
    plan = yard / "winter.plan.yaml"
    code, _, err = said(capsys, "record", plan, "--from", yard / "sent.txt", "--today", first.day + timedelta(days=1))
    assert (code, err) == (DONE, "")
    logged = [(e.day, e.who, e.lot, e.step, e.pieces) for e in read_log(log_beside(plan)).entries]
    planned = [(r.day, r.who, r.lot, r.step, r.pieces) for r in small_plan.rows if r.day == first.day]
    assert sorted(logged) == sorted(planned)


def test_the_plan_as_shared_can_be_shown_with_its_cautions(capsys, yard):
    shared(capsys, yard)
    code, out, _ = said(capsys, "show", yard / "out" / "shared.plan.yaml")
    assert code == DONE
    assert "Without the scenario" not in out
    assert "has changed" in out  # the plan of the test was made from no file
    _, audited, _ = said(capsys, "audit", yard / "out" / "shared.plan.yaml")
    assert "keeps every promise" in audited


def test_an_alarm_stands_in_the_calendars_only_where_it_is_asked_for(capsys, yard):
    shared(capsys, yard)
    assert "VALARM" not in text_in(yard, "Ines.ics")
    shared(capsys, yard, "--alarm", 90)
    assert "BEGIN:VALARM" in text_in(yard, "Ines.ics")
    err = refused(capsys, yard, "--to", yard / "out", "--alarm", "soon")
    assert "'soon' is not a whole number of minutes from 0 to 10080, a week" in err


def test_what_is_remarkable_is_said_and_not_refused(capsys, yard, small_plan):
    short = replace(small_plan, left=(LeftOver("boxes", "paint", 4, "undone"),))
    write_plan(yard / "winter.plan.yaml", short)
    out = shared(capsys, yard)
    assert "winter.yaml has changed since this plan was made" in out
    assert "paint of boxes: 4 are left undone" in out
    assert "paint of boxes: 4 are left undone" in text_in(yard, "Ines.txt")


# once more


def test_the_same_plan_shared_again_leaves_calendars_table_and_plan_as_they_are(capsys, yard):
    shared(capsys, yard)
    before = everything(yard)
    shared(capsys, yard)
    assert everything(yard) == before


def test_what_changed_since_the_plan_shared_last_is_told_also_when_it_is_shared_twice(capsys, yard):
    assert "The page tells" not in shared(capsys, yard)
    assert "Changed since" not in text_in(yard, "Ines.txt")
    replanned_by_hand(yard, an_hour_less_for_tomas)
    out = shared(capsys, yard)
    told = re.search(r"The page tells ([\d,]+) changes since the plan of Thu 1 Oct 2026", out)
    assert told
    assert int(told[1]) > 1
    assert "instead of Tomas" in text_in(yard, "page.html")
    assert "done by Ines" in " ".join(text_in(yard, "Tomas.txt").split())
    before = everything(yard)
    assert told[0] in shared(capsys, yard)
    assert everything(yard) == before
    replanned_by_hand(yard, lambda row: row)
    out = shared(capsys, yard)
    assert "The page tells 0 changes since the plan of Fri 2 Oct 2026" in out


def test_a_helper_who_is_gone_has_all_called_off_and_no_text(capsys, yard):
    shared(capsys, yard)
    work = text_in(yard, "Tomas.ics").count("STATUS:CONFIRMED")
    replanned_by_hand(yard, lambda row: replace(row, who=tuple(n for n in row.who if n != "Tomas") or ("Ines",)))
    data = small()
    del data["crew"]["Tomas"]
    data["jobs"]["press the cappings"]["hands"] = 1
    (yard / "winter.yaml").write_text(yaml.safe_dump(data), encoding="utf-8")
    for _ in range(2):
        out = shared(capsys, yard)
        assert "Tomas is no longer in this plan: all is called off in Tomas.ics" in out
        assert "Tomas.txt" not in names_in(yard)
        calendar = text_in(yard, "Tomas.ics")
        assert calendar.count("STATUS:CANCELLED") == work > 3
    data["crew"]["Tomas"] = small()["crew"]["Tomas"]
    (yard / "winter.yaml").write_text(yaml.safe_dump(data), encoding="utf-8")
    assert "no longer in this plan" not in shared(capsys, yard)
    assert "Tomas.txt" in names_in(yard)


def test_who_has_files_keeps_their_names_when_somebody_called_alike_comes(capsys, yard):
    shared(capsys, yard)
    data = small()
    data["crew"] = {"Ines!": data["crew"]["Tomas"], **data["crew"]}
    (yard / "winter.yaml").write_text(yaml.safe_dump(data), encoding="utf-8")
    shared(capsys, yard)
    assert {"Ines.ics", "Ines-2.ics"} <= names_in(yard)
    assert "work of Ines\n" in text_in(yard, "Ines.txt")
    assert "work of Ines!" in text_in(yard, "Ines-2.txt")


def test_a_plan_of_another_winter_begins_anew_in_the_same_folder(capsys, yard):
    shared(capsys, yard)
    (yard / "other.yaml").write_text(SMALL, encoding="utf-8")
    plan = read_plan(yard / "winter.plan.yaml")
    write_plan(yard / "winter.plan.yaml", replace(plan, scenario_file="other.yaml"))
    out = shared(capsys, yard)
    assert "of another winter, or the scenario's file or the season had another name" in " ".join(out.split())
    assert "CANCELLED" not in text_in(yard, "Ines.ics")


@pytest.mark.parametrize("broken", [b"", b"nothing", b"\xff\xfe\x00", b"format: 1\nrows: [\n"])
def test_a_shared_plan_that_cannot_be_read_only_takes_away_what_changed(capsys, yard, broken):
    shared(capsys, yard)
    (yard / "out" / "shared.plan.yaml").write_bytes(broken)
    out = shared(capsys, yard)
    assert "The plan shared last cannot be read, so what changed is not told." in out
    assert "Changed since" not in text_in(yard, "Ines.txt")
    assert read_plan(yard / "out" / "shared.plan.yaml").rows


def test_a_calendar_that_was_damaged_is_begun_anew_and_that_is_said(capsys, yard):
    shared(capsys, yard)
    (yard / "out" / "Ines.ics").write_bytes(b"BEGIN:VCALENDAR\r\n")
    assert "Ines.ics: " in shared(capsys, yard)
    assert "END:VCALENDAR" in text_in(yard, "Ines.ics")


# nothing of anybody else's


@pytest.mark.parametrize("name", ["page.html", "Ines.ics", "Tomas.txt", "work.csv", "shared.plan.yaml", "winter.svg"])
@pytest.mark.parametrize("first_shared", [False, True])
def test_a_file_of_somebody_else_is_never_written_over(capsys, yard, name, first_shared):
    if first_shared:
        shared(capsys, yard)
        state = json.loads(text_in(yard, STATE))
        del state["files"][name]
        (yard / "out" / STATE).write_text(json.dumps(state), encoding="utf-8")
    (yard / "out").mkdir(exist_ok=True)
    (yard / "out" / name).write_text("mine", encoding="utf-8")
    err = refused(capsys, yard, "--to", yard / "out")
    assert f"{yard / 'out' / name} is there and is none of the files that were shared here" in err


def test_other_files_in_the_folder_stay(capsys, yard):
    (yard / "out").mkdir()
    (yard / "out" / "notes.txt").write_text("mine", encoding="utf-8")
    shared(capsys, yard)
    shared(capsys, yard)
    assert text_in(yard, "notes.txt") == "mine"


@pytest.mark.parametrize("name", ["page.html", "Ines.ics", "everybody.ics", STATE, "shared.plan.yaml"])
@pytest.mark.parametrize("leads_to", ["elsewhere.txt", "nowhere.txt"])
def test_a_link_out_of_the_folder_is_not_followed(capsys, yard, name, leads_to):
    shared(capsys, yard)
    (yard / "elsewhere.txt").write_text("mine", encoding="utf-8")
    (yard / "out" / name).unlink()
    (yard / "out" / name).symlink_to(yard / leads_to)
    assert "is a link, which may lead out of the folder" in refused(capsys, yard, "--to", yard / "out")


def test_a_folder_or_a_pipe_where_a_file_should_be_is_refused(capsys, yard):
    (yard / "out").mkdir()
    (yard / "out" / "page.html").mkdir()
    assert "page.html is a folder" in refused(capsys, yard, "--to", yard / "out")
    (yard / "out" / "page.html").rmdir()
    os.mkfifo(yard / "out" / STATE)
    err = refused(capsys, yard, "--to", yard / "out")
    assert f"{STATE} is a device, a pipe or the like" in err


@pytest.mark.parametrize(
    ("to", "told"),
    [
        ("winter.yaml", "is no folder"),
        ("none/out", "there is no folder"),
        ("winter.yaml/out", "there is no such folder"),
        ("dangling", "is a link to what is not there"),
        ("x" * 300, "the name is too long"),
        ("zero\0byte", "not a name a file can have"),
    ],
)
def test_where_no_folder_can_be_that_is_said(capsys, yard, to, told):
    (yard / "dangling").symlink_to(yard / "nowhere")
    assert told in refused(capsys, yard, "--to", yard / to)


def test_where_to_has_to_be_said(capsys, yard):
    assert "share: --to is missing; write it as in 'offseason share winter.plan.yaml --to for-helpers'." in refused(
        capsys, yard
    )


def test_what_was_shared_is_not_shared_into_its_own_folder(capsys, yard):
    shared(capsys, yard)
    before = everything(yard)
    code, _, err = said(capsys, "share", yard / "out" / "shared.plan.yaml", "--to", yard / "out")
    assert code == FILE_WRONG
    assert "is what is to be shared, and would be written over" in err
    assert everything(yard) == before


@pytest.mark.parametrize(
    "state", ["", "[]", '{"format": 1}', "[" * 100_000, '{"format": 1, "winter": "", "files": {"a": 1}}']
)
def test_a_list_of_what_is_ours_that_cannot_be_read_stops_all(capsys, yard, state):
    shared(capsys, yard)
    (yard / "out" / STATE).write_text(state, encoding="utf-8")
    assert "says which files here are ours, and cannot be read" in refused(capsys, yard, "--to", yard / "out")


def test_a_list_that_names_files_elsewhere_takes_nothing_away_there(capsys, yard):
    shared(capsys, yard)
    state = json.loads(text_in(yard, STATE))
    state["files"] |= {"../precious.txt": None, "..": None, str(yard / "precious.txt"): None, "old.txt": "Ines"}
    (yard / "out" / STATE).write_text(json.dumps(state), encoding="utf-8")
    (yard / "precious.txt").write_text("mine", encoding="utf-8")
    (yard / "out" / "old.txt").write_text("ours, of long ago", encoding="utf-8")
    shared(capsys, yard)
    assert (yard / "precious.txt").read_text(encoding="utf-8") == "mine"


def test_a_list_from_somebody_else_takes_away_nothing_that_we_did_not_write(capsys, yard):
    shared(capsys, yard)
    state = json.loads(text_in(yard, STATE))
    kept = {"winter.log.yaml": "my log", "taxes.txt": "mine", ".bashrc": "mine too"}
    state["files"] |= dict.fromkeys(kept)
    (yard / "out" / STATE).write_text(json.dumps(state), encoding="utf-8")
    for name, text in kept.items():
        (yard / "out" / name).write_text(text, encoding="utf-8")
    shared(capsys, yard)
    assert {name: text_in(yard, name) for name in kept} == kept


def test_without_the_scenario_nothing_is_handed_out_for_cautions_would_be_missing(capsys, yard):
    (yard / "winter.yaml").rename(yard / "moved.yaml")
    err = refused(capsys, yard, "--to", yard / "out")
    assert "name it with --scenario" in err
    assert "cautions" in err
    shared(capsys, yard, "--scenario", yard / "moved.yaml")
    assert "local authority" in text_in(yard, "page.html")


def test_where_one_form_cannot_be_made_no_file_is_written(capsys, yard, monkeypatch):
    shared(capsys, yard)
    replanned_by_hand(yard, an_hour_less_for_tomas)
    before = everything(yard)
    monkeypatch.setattr("offseason.share.forms.work_csv", lambda _: 1 / 0)
    code, _, err = said(capsys, "share", yard / "winter.plan.yaml", "--to", yard / "out")
    assert code != DONE
    assert "fault of offseason" in err
    assert everything(yard) == before


def test_a_full_disk_leaves_each_file_whole_and_the_next_time_all_is_made_good(capsys, yard, monkeypatch):
    shared(capsys, yard)
    old = everything(yard)
    replanned_by_hand(yard, an_hour_less_for_tomas)
    written = []

    def full(path, content):
        written.append(path)
        if len(written) > 4:
            raise OSError(28, "No space left on device")
        write(path, content)

    write = folder_module.write_whole
    with monkeypatch.context() as patched:
        patched.setattr(folder_module, "write_whole", full)
        code, _, err = said(capsys, "share", yard / "winter.plan.yaml", "--to", yard / "out")
    assert code == FILE_WRONG
    assert "cannot be written: there is no room left for it; make room" in err
    assert "are new and others old: share again before you send any." in err
    assert everything(yard)["out/shared.plan.yaml"] == old["out/shared.plan.yaml"]
    assert "The page tells" in shared(capsys, yard)
    fresh = yard / "fresh"
    assert main(["share", str(yard / "winter.plan.yaml"), "--to", str(fresh)]) == DONE
    assert (fresh / "work.csv").read_bytes() == (yard / "out" / "work.csv").read_bytes()


# what somebody changed in a file of ours


def noted(yard, *names, note="call Ottokar first"):
    """Somebody writes a note behind the first line of the files; what then stands in them."""
    changed = {}
    for name in names:
        path = yard / "out" / name
        first, rest = path.read_bytes().split(b"\n", 1)
        changed[name] = first + b"\n" + note.encode() + b"\n" + rest
        path.write_bytes(changed[name])
    return changed


def kept_in(yard):
    return {path.name.removesuffix(".before"): path.read_bytes() for path in (yard / "out").glob("*.before")}


def test_what_the_keeper_noted_in_shared_files_is_kept_beside_them_and_that_is_told_once(capsys, yard):
    shared(capsys, yard)
    as_shared = everything(yard)
    notes = noted(yard, "work.csv", "Ines.txt", "page.html")
    out = shared(capsys, yard)
    told = "page.html, work.csv and Ines.txt were changed since they were shared; as they were they are kept in "
    assert f"{told}page.html.before, work.csv.before and Ines.txt.before." in out
    assert kept_in(yard) == notes
    again = everything(yard)
    assert {name for name in again if again[name] != as_shared.get(name)} == {
        f"out/{STATE}",
        *(f"out/{name}.before" for name in notes),
    }


def test_where_the_list_does_not_tell_what_was_written_what_is_different_is_kept_and_nothing_else(capsys, yard):
    shared(capsys, yard)
    state = json.loads(text_in(yard, STATE))
    (yard / "out" / STATE).write_text(json.dumps({**state, "prints": {}}), encoding="utf-8")
    notes = noted(yard, "winter.svg")
    assert "winter.svg was changed since it was shared; as it was it is kept in" in shared(capsys, yard)
    assert kept_in(yard) == notes


def test_a_calendar_with_other_ends_of_lines_is_kept_and_gone_on_with(capsys, yard):
    shared(capsys, yard)
    path = yard / "out" / "Tomas.ics"
    edited = path.read_bytes().replace(b"\r\n", b"\n")
    path.write_bytes(edited)
    replanned_by_hand(yard, an_hour_less_for_tomas)
    assert "Tomas.ics was changed since it was shared" in shared(capsys, yard)
    assert kept_in(yard)["Tomas.ics"] == edited
    assert "STATUS:CANCELLED" in text_in(yard, "Tomas.ics")
    assert re.search(r"SEQUENCE:[1-9]", text_in(yard, "Tomas.ics"))


def test_changed_once_more_the_newer_one_is_kept_and_that_the_older_one_went_is_told(capsys, yard):
    shared(capsys, yard)
    older = noted(yard, "work.csv")
    shared(capsys, yard)
    assert "work.csv.before" not in shared(capsys, yard)
    assert kept_in(yard) == older
    newer = noted(yard, "work.csv", "Ines.txt", note="and bring the ladder")
    out = shared(capsys, yard)
    assert "Ines.txt.before, and what was kept in work.csv.before until now is gone." in out
    assert kept_in(yard) == newer


@pytest.mark.parametrize("kept_before", [False, True])
def test_where_the_place_to_keep_it_holds_something_of_the_keeper_nothing_is_written(capsys, yard, kept_before):
    shared(capsys, yard)
    if kept_before:
        noted(yard, "work.csv")
        shared(capsys, yard)
    (yard / "out" / "work.csv.before").write_text("mine", encoding="utf-8")
    noted(yard, "work.csv", note="and bring the ladder")
    err = refused(capsys, yard, "--to", yard / "out")
    assert f"{yard / 'out' / 'work.csv'} was changed since it was shared, and would be kept as work.csv.before" in err
    assert "Put work.csv.before elsewhere, or name another folder with --to." in err
    (yard / "out" / "work.csv.before").unlink()
    (yard / "out" / "work.csv.before").symlink_to(yard / "winter.yaml")
    assert "is a link, which may lead out of the folder" in refused(capsys, yard, "--to", yard / "out")


def test_the_shared_plan_changed_by_hand_is_kept_as_the_plan_before_and_that_one_too(capsys, yard):
    shared(capsys, yard)
    replanned_by_hand(yard, an_hour_less_for_tomas)
    shared(capsys, yard)
    notes = {}
    for name in ("shared.plan.yaml", "shared.plan.yaml.before"):
        path = yard / "out" / name
        notes[name] = path.read_bytes() + f"# a note in {name}\n".encode()
        path.write_bytes(notes[name])
    out = shared(capsys, yard)
    assert "shared.plan.yaml.before and shared.plan.yaml were changed since they were shared" in out
    assert {name: (yard / "out" / f"{name}.before").read_bytes() for name in notes} == notes


class KilledError(BaseException):
    """The computer goes out."""


def going_out(do, left: list[int]):
    """``do``, with one of the moments that are left before it and one after it; at the last the computer goes out."""

    def done(*words):
        for act in (lambda: None, lambda: do(*words)):
            act()
            left[0] -= 1
            if left[0] < 0:
                raise KilledError

    return done


def wrote(folder, files) -> bool:
    """Writes the files as sharing does; whether it came to its end."""
    before = ours_in(folder)
    try:
        write_all(folder, files, Ours("w", dict.fromkeys(files)), before, to_keep(folder, files, before))
    except KilledError:
        return False
    return True


def test_cut_off_at_any_moment_what_the_keeper_noted_is_still_there_and_sharing_goes_on(tmp_path, monkeypatch):
    new, note = {"work.csv": b"new"}, b"new, and a note"
    monkeypatch.setattr(os, "fsync", lambda _: None)  # it is no disk that is tried here, and disks take their time
    moments = 2 * 4  # one before and one after each: the list, the file kept, the file, and the list again
    for moment in range(moments + 1):
        folder = tmp_path / str(moment)
        wrote(folder, {"work.csv": b"old"})
        (folder / "work.csv").write_bytes(note)
        left = [moment]
        with monkeypatch.context() as patched:
            for name in ("write_whole", "copy_whole"):
                patched.setattr(folder_module, name, going_out(getattr(folder_module, name), left))
            assert wrote(folder, new) == (moment == moments)
        assert note in {path.read_bytes() for path in folder.iterdir()}
        assert not to_keep(folder, new, ours_in(folder)).over  # what may be kept already is the same note
        assert wrote(folder, new)
        assert [(folder / name).read_bytes() for name in ("work.csv", "work.csv.before")] == [b"new", note]


def test_on_a_full_disk_it_is_told_what_was_kept_by_then(capsys, yard, monkeypatch):
    shared(capsys, yard)
    notes = noted(yard, "page.html", "work.csv")

    def full(path, content):
        if path.name == "page.html":
            raise OSError(28, "No space left on device")
        write(path, content)

    write = folder_module.write_whole
    monkeypatch.setattr(folder_module, "write_whole", full)
    code, _, err = said(capsys, "share", yard / "winter.plan.yaml", "--to", yard / "out")
    assert code == FILE_WRONG
    assert "page.html cannot be written: there is no room left for it" in err
    assert err.endswith("page.html was changed since it was shared; as it was it is kept in page.html.before.")
    assert {name: (yard / "out" / name).read_bytes() for name in notes} == notes


# whatever people and things are called


@pytest.fixture
def hostile_yard(yard, small_plan):
    """The small winter with a crew, a lot, a place and a job of dangerous names."""
    people = {"Ines": HOSTILE[0], "Tomas": HOSTILE[1]}
    things = {"boxes": "../../x", "bench": "=cmd()", "frames": "</script><img src=x onerror=alert(2)>"}
    data = small()
    data["crew"] = {people[name]: helper for name, helper in data["crew"].items()}
    data["crew"] |= {name: {"works": {"mon": "09:00-10:00"}} for name in HOSTILE[2:]}
    data["season"]["name"] = "<b>Winter</b> =1"
    data["gear"] = {things.get(name, name): lot for name, lot in data["gear"].items()}
    data["places"] = {things.get(name, name): place for name, place in data["places"].items()}
    for task in data["tasks"].values():
        if task.get("at") == "bench":
            task["at"] = things["bench"]
    rows = tuple(
        replace(
            row,
            who=tuple(people[name] for name in row.who),
            lot=things.get(row.lot, row.lot),
            at=things.get(row.at, row.at),
        )
        for row in small_plan.rows
    )
    source = yaml.safe_dump(data, sort_keys=False)
    (yard / "winter.yaml").write_text(source, encoding="utf-8", newline="\n")
    write_plan(yard / "winter.plan.yaml", replace(small_plan, rows=rows))
    return yard


def test_no_name_leads_out_of_the_folder(capsys, hostile_yard):
    before = everything(hostile_yard)
    outside = set(hostile_yard.parent.iterdir())
    shared(capsys, hostile_yard)
    assert set(hostile_yard.parent.iterdir()) == outside
    after = everything(hostile_yard)
    assert {name for name in after if not name.startswith("out")} == set(before)
    names = names_in(hostile_yard)
    assert len(names) == len(COMMON) + 2 * len(HOSTILE)
    assert len({name.casefold() for name in names}) == len(names)
    assert {"con-2.ics", "Ann.ics", "ann-2.ics", "everybody-2.txt", "x.ics", "cmd.ics", "two-lines.ics"} <= names


def test_names_do_nothing_in_page_table_and_calendar(capsys, hostile_yard):
    shared(capsys, hostile_yard)
    page = text_in(hostile_yard, "page.html")
    assert page.count("<script") == 1
    assert "<img" not in page
    assert "<b>Winter" not in page
    with (hostile_yard / "out" / "work.csv").open(encoding="utf-8-sig", newline="") as stream:
        cells = [cell for line in csv.reader(stream) for cell in line]
    assert "'=cmd()" in cells
    assert not [cell for cell in cells if cell[:1] in set("=+-@\t\r\n")]
    for line in text_in(hostile_yard, "cmd.ics").splitlines():
        assert re.match(r"[A-Z-]+[;:]|[ \t]", line), line
    for name in names_in(hostile_yard):
        if name.endswith(".txt"):
            assert not re.search("[\x00-\x09\x0b-\x1f\x7f\u202a-\u202e]", text_in(hostile_yard, name))


def test_a_moment_of_sharing_that_lies_after_the_winter_is_no_matter(capsys, yard, small_plan):
    old = replace(small_plan, made=datetime(2001, 1, 1, tzinfo=UTC))
    write_plan(yard / "winter.plan.yaml", old)
    shared(capsys, yard)
    assert "Planned Mon 1 Jan 2001." in text_in(yard, "Ines.txt")


def test_a_folder_without_a_name_is_not_the_one_you_are_in(tmp_path, capsys):
    assert main(["share", str(tmp_path / "winter.plan.yaml"), "--to", ""]) == 2
    assert "no folder is named" in " ".join(capsys.readouterr().err.split())
