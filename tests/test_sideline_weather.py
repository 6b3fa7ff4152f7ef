"""The sideline scenario in its own invented weather, and in real weather of a place it is not at."""

from __future__ import annotations

import re
import resource
import shutil
from pathlib import Path

import pytest

from offseason.cli import main
from offseason.plan.audit import audit
from offseason.plan.file import read_plan
from offseason.scenario.read import read_scenario
from offseason.solver.fits import fits
from offseason.weather.winter import settle
from offseason.workload.build import build_workload
from tests.tools.invented_weather import FILES
from tests.weather.shipped import seattle_file

SCENARIOS = Path(__file__).parents[1] / "scenarios"


CORES = 2
MOTHS_OF_THE_YARD = "moths: {season_starts: 2027-05-01, season_ends: 2026-10-12}"


def in_seattle(folder: Path, moths: str = "") -> Path:
    """The scenario with vega-datasets 0.9.0 (MIT), Seattle 2012-2015 day by day, as all it knows of the weather."""
    text = (SCENARIOS / "sideline.yaml").read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if not line.lstrip().startswith("forecast:")]
    seattle_file(folder)
    written = "\n".join(lines).replace("weather/harrow-bend-history.csv", "seattle.csv")
    assert "seattle.csv" in written
    written = f"{written}\n{moths}\n"
    (folder / "sideline.yaml").write_text(written, encoding="utf-8")
    return folder / "sideline.yaml"


@pytest.mark.parametrize("name", FILES)
def test_the_invented_records_are_those_that_their_program_writes(name):
    assert (SCENARIOS / "weather" / name).read_text(encoding="utf-8") == FILES[name]()


def test_three_real_winters_are_planned_against_the_poorest_of_them(tmp_path):
    _, outlook = settle(read_scenario(in_seattle(tmp_path)), tmp_path)
    assert "the poorest of the 3 winters in seattle.csv" in " ".join(outlook.said)


@pytest.mark.slow
def test_where_moths_fly_far_into_a_mild_autumn_one_freezer_cannot_take_all_combs_within_a_week(tmp_path, capsys):
    # Seattle's autumns stay at 10 degrees into November (counted in tests/weather/test_moth_season), and 1,900 combs
    # come in during the season: 80 spaces at a load a day hold 560 of them in the seven days there are
    scenario = in_seattle(tmp_path)
    settled, outlook = settle(read_scenario(scenario), tmp_path)
    assert settled.moths.season_ends > settled.gear["super combs"].arrives
    assert fits(build_workload(settled, outlook), seconds=300).no
    assert main(["plan", str(scenario), "--seconds", "10", "--quiet"]) == 3
    told = " ".join(capsys.readouterr().err.split())
    left_open = re.search(r"super combs: ([\d,]+) combs of 1,900 open to moths", told)
    assert int(left_open[1].replace(",", "")) >= 1_900 - 560


@pytest.mark.slow
def test_the_sideline_winter_is_planned_and_audited_in_real_weather(tmp_path, capsys):
    scenario, target = in_seattle(tmp_path, MOTHS_OF_THE_YARD), tmp_path / "sideline.plan.yaml"
    assert main(["plan", str(scenario), "--seconds", "8", "--quiet"]) == 0
    assert "as in the winter of 201" in " ".join(capsys.readouterr().out.split())
    plan = read_plan(target)
    assert any("seattle.csv" in said for said in plan.weather)
    assert main(["audit", str(target)]) == 0
    settled, outlook = settle(read_scenario(scenario), tmp_path)
    assert audit(settled, plan, outlook) == ()
    painted = {row.day for row in plan.rows if row.step == "first coat"}
    fit = outlook.windows["painting"]
    assert painted
    assert all(fit[day] for day in painted)


def _busy_s() -> float:
    """Processor time of the processes a rehearsal starts: what it takes on a machine that does nothing else."""
    return resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime + resource.getrusage(resource.RUSAGE_SELF).ru_utime


def _last_winters(records: Path, many: int) -> None:
    """Leave in a file of records, a row an hour or a day, the last ``many`` winters."""
    head, *rows = records.read_text(encoding="utf-8").splitlines(keepends=True)
    last = max(int(row[:4]) for row in rows)
    records.write_text(head + "".join(row for row in rows if row[:7] > f"{last - many}-06"), encoding="utf-8")


@pytest.mark.slow
def test_winters_of_the_sideline_plan_are_rehearsed_at_ten_in_three_minutes(tmp_path, capsys):
    yard = shutil.copytree(SCENARIOS, tmp_path / "yard")
    _last_winters(yard / "weather" / "harrow-bend-history.csv", 4)
    assert main(["plan", str(yard / "sideline.yaml"), "--seconds", "5", "--quiet"]) == 0
    capsys.readouterr()
    began_s = _busy_s()
    assert main(["rehearse", str(yard / "sideline.plan.yaml"), "--vary", "20", "--seed", "7", "--quiet"]) == 0
    took_s = (_busy_s() - began_s) / CORES
    told = capsys.readouterr().out
    assert "rehearsed in 4 past winters (2022/23 to 2025/26)" in told
    assert took_s < 4 * 18, f"it took {took_s:.0f} s"
