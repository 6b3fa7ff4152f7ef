"""The wheel holds all that the program needs, and is enough by itself: no source beside it, nothing else installed."""

from __future__ import annotations

import zipfile

import pytest

from tests.install.packed import PLAN, ROOT, environment, run, source, source_archive, wheel, winter

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def sources(tmp_path_factory):
    return source(tmp_path_factory.mktemp("built") / "source")


@pytest.fixture(scope="module")
def packed(sources, tmp_path_factory):
    return wheel(sources, tmp_path_factory.mktemp("wheel"))


@pytest.fixture(scope="module")
def installed(packed, tmp_path_factory):
    """The Python of an environment with the wheel and what it asks for, in a folder with a space and an umlaut."""
    return environment("python3", tmp_path_factory.mktemp("clean") / "Büro of ours", [packed])


@pytest.fixture
def folder(tmp_path):
    """An empty folder, in which no source of ours can be found by chance."""
    path = tmp_path / "Wintér plans"
    path.mkdir()
    return path


def names(archive):
    with zipfile.ZipFile(archive) as opened:
        return sorted(opened.namelist())


def test_the_wheel_holds_every_file_of_the_package_and_nothing_else(packed):
    ours = {
        path.relative_to(ROOT).as_posix()
        for path in (ROOT / "offseason").rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    assert {"offseason/py.typed", "offseason/scenario/starter.yaml", "offseason/scenario/scenario.schema.json"} < ours
    assert {name for name in names(packed) if ".dist-info/" not in name} == ours


def test_the_source_archive_makes_the_same_wheel(sources, packed, tmp_path):
    archive = source_archive(sources, tmp_path)
    assert names(wheel(archive, tmp_path / "again")) == names(packed)


def test_a_winter_is_planned_shared_and_replanned_with_the_wheel_alone(installed, folder):
    """With nothing of the surroundings, without assertions, and where the first warning of anybody is the end."""
    said = winter(installed, folder, "-I", "-OO", "-W", "error")
    assert "it keeps every promise." in said["plan winter.yaml --effort 1 --quiet"]
    assert "keeps every promise" in said[f"audit {PLAN}"]
    assert said["--help"].startswith("usage: offseason ")
    assert "<style>" in (folder / "for-helpers" / "page.html").read_text("utf-8")
    assert "site-packages" in run(installed, "-c", "import offseason; print(offseason.__file__)", into=folder)


def test_the_command_is_the_module(installed, folder):
    module, command = (installed, "-m", "offseason"), (installed.with_name("offseason"),)
    assert run(*command, "plan", "--help", into=folder) == run(*module, "plan", "--help", into=folder)


def test_names_are_kept_where_the_terminal_knows_no_umlaut(installed, folder):
    program = (installed, "-X", "utf8=0", "-m", "offseason")
    plain = {"LC_ALL": "C", "PYTHONCOERCECLOCALE": "0"}
    run(*program, "start", "größer.yaml", "--year", "2026", into=folder, **plain)
    written = folder / "größer.yaml"
    written.write_text(written.read_text("utf-8").replace("Jonas", "Jörg"), "utf-8")
    run(*program, "plan", "größer.yaml", "--effort", "1", "--quiet", into=folder, **plain)
    plan = (folder / "größer.plan.yaml").read_text("utf-8")
    assert "größer.yaml" in plan
    assert "Jörg" in plan
    run(*program, "audit", "größer.plan.yaml", into=folder, **plain)
