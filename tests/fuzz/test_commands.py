"""Whatever file a keeper was sent: each command on it ends in a minute, in little memory, with a sentence."""

from __future__ import annotations

import hashlib
import os
import resource
import subprocess
import sys
from pathlib import Path

import pytest

from tests.shipped_plans import SCENARIOS

pytestmark = pytest.mark.slow

MOST_SECONDS, MOST_BYTES = 60, 3_000_000_000
MOST_TOLD_BYTES = 50_000
HOBBY = (SCENARIOS / "hobby.yaml").read_bytes()
SEASON = "season: {from: 2026-10-05, until: 2027-03-28}\nmoths: {season_starts: 2027-04-20}\n"
CREW = "crew: {Ines: {works: {mon-sun: 09:00-17:00}}}\n"


def said(folder: Path, *words: str, exit_code: int = 2) -> str:
    """What a command complains of; it is held to time and memory, and none of its words comes from a fault."""

    def hold() -> None:
        resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
        resource.setrlimit(resource.RLIMIT_CPU, (MOST_SECONDS, MOST_SECONDS))

    ran = subprocess.run(
        [sys.executable, "-m", "offseason", *words],
        capture_output=True,
        check=False,
        cwd=folder,
        env=os.environ | {"PYTHONPATH": str(SCENARIOS.parent)},
        preexec_fn=hold,
        text=True,
        timeout=10 * MOST_SECONDS,
    )
    assert ran.returncode == exit_code, ran.stderr[-2_000:]
    assert "fault of offseason" not in ran.stderr
    assert len(ran.stderr) < MOST_TOLD_BYTES
    return ran.stderr


def plan_of(rows: str, head: str = "") -> str:
    digest = hashlib.sha256(HOBBY).hexdigest()
    made = 'made: "2026-10-01 08:00:00+00:00"\nmade_with: by hand\nproven: false\n'
    return f'format: 1\nscenario: winter.yaml\nsha256: "{digest}"\n{made}{head}work:\n{rows}end: of the plan\n'


ROW = '  - {day: 2026-10-17, from: "09:30", to: "10:00", who: [Odile], lot: super combs, step: freeze, pieces: 1}\n'


def winter(folder: Path, plan: str) -> None:
    (folder / "winter.yaml").write_bytes(HOBBY)
    (folder / "winter.plan.yaml").write_text(plan, encoding="utf-8")


TOO_MUCH = {
    "100,000 lots": lambda: SEASON + CREW + "gear:\n" + "".join(
        f"  lot {n}: {{piece: feeder, count: 1, steps: []}}\n" for n in range(100_000)
    ),
    "10,000 people": lambda: SEASON + "crew:\n" + "".join(
        f"  Helper {n}: {{works: {{sat: 09:00-12:00}}}}\n" for n in range(10_000)
    ),
    "a milliard of pieces": lambda: SEASON + CREW + "gear: {feeders: {piece: feeder, count: 1000000000, steps: []}}\n",
    "a season of 400 years": lambda: f"season: {{from: 1900-01-01, until: 2199-12-31}}\n{CREW}",
    "a name of ten megabytes": lambda: f"{SEASON}crew: {{{'a' * 9_000_000}: {{works: {{sat: 09:00-12:00}}}}}}\n",
    "as many absences as go into the file": lambda: (
        f"{SEASON}crew: {{Ines: {{works: {{sat: 09:00-12:00}}, away: [{', '.join(['2026-11-01'] * 800_000)}]}}}}\n"
    ),
}  # fmt: skip


@pytest.mark.parametrize("command", ["check", "plan"])
@pytest.mark.parametrize("kind", TOO_MUCH)
def test_a_winter_that_is_far_too_large_is_refused_in_few_sentences(kind, command, tmp_path):
    (tmp_path / "winter.yaml").write_text(TOO_MUCH[kind](), encoding="utf-8")
    lines = said(tmp_path, command, "winter.yaml").splitlines()
    assert 1 <= len(lines) <= 2
    assert all(line.startswith("winter.yaml:") for line in lines)
    assert [path.name for path in tmp_path.iterdir()] == ["winter.yaml"]


ON_A_PLAN = {
    "audit": (),
    "show": (),
    "changes": ("winter.plan.yaml",),
    "share": ("--to", "out"),
    "replan": ("--seconds", "5"),
    "carry-over": ("--to", "next.yaml"),
    "pace": (),
    "rehearse": (),
    "spare": ("--seconds", "5"),
    "record": ("Odile", "freeze", "80", "super", "combs"),
}


@pytest.mark.parametrize("command", ON_A_PLAN)
def test_a_plan_of_ten_megabytes_is_refused_in_a_sentence(command, tmp_path):
    winter(tmp_path, plan_of(ROW * 90_000))
    before = {path.name for path in tmp_path.iterdir()}
    told = said(tmp_path, command, "winter.plan.yaml", *ON_A_PLAN[command])
    assert "more than 50,000 lines" in told
    assert {path.name for path in tmp_path.iterdir()} - {"winter.log.yaml"} == before


def test_a_plan_as_large_as_is_read_is_audited(tmp_path):
    winter(tmp_path, plan_of(ROW.replace("pieces: 1}", "pieces: 10000000}") * 20_000))
    assert said(tmp_path, "audit", "winter.plan.yaml", exit_code=4) == ""


@pytest.mark.parametrize("command", ["pace", "record", "replan", "carry-over"])
def test_a_log_of_ten_megabytes_is_refused_in_a_sentence(command, tmp_path):
    winter(tmp_path, plan_of(ROW))
    row = "- {id: x%d, date: 2026-10-17, who: [Odile], lot: super combs, step: freeze, pieces: 1}\n"
    log = tmp_path / "winter.log.yaml"
    log.write_text("".join(row % n for n in range(110_000)), encoding="utf-8")
    before = log.read_bytes()
    assert "more than 30,000 rows" in said(tmp_path, command, "winter.plan.yaml", *ON_A_PLAN[command])
    assert log.read_bytes() == before


@pytest.mark.parametrize(
    "remedies",
    [
        b"format: 1\nremedies:\n" + b"  - {number: 1, least: true, changes: []}\n" * 200_000 + b"end: x\n",
        b"format: 1\n" + b"[" * 9_000_000,
        b"format: 1\nend: !!python/object/apply:os.system ['touch made']\n",
    ],
    ids=["many", "deep", "python"],
)
def test_hostile_remedies_are_not_applied(remedies, tmp_path):
    (tmp_path / "winter.yaml").write_bytes(HOBBY)
    (tmp_path / "winter.remedies.yaml").write_bytes(remedies)
    assert said(tmp_path, "remedies", "winter.yaml", "--apply", "1").startswith("winter.remedies.yaml:")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["winter.remedies.yaml", "winter.yaml"]


@pytest.mark.parametrize(
    "records",
    [
        b"time [UTC],temperature [C]\n" + b"2026-10-05 09:00,x\n" * 500_000,
        b"," * 10_000_000,
        b"day,lowest [C],highest [C]\n" + b"1\n" * 1_000_000,
        b"time [Mars/Olympus],temperature [C]\n2026-10-05 09:00,1\n",
    ],
    ids=["no numbers", "commas", "torn", "no such clock"],
)
def test_records_of_nonsense_are_refused_in_a_sentence(records, tmp_path):
    (tmp_path / "records.csv").write_bytes(records)
    assert said(tmp_path, "weather", "records.csv").startswith("records.csv")
