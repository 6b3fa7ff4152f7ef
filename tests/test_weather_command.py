"""What the keeper gets from ``offseason weather``: the table, the picture, and a sentence for each mistake."""

import os
from datetime import date, timedelta
from xml.etree import ElementTree as ET

import pytest

from offseason.cli import main
from offseason.share.picture.svg import MARK
from offseason.trade.cautions import LAST_WORD
from offseason.trade.fitness import NEEDS

HEADER = "time [UTC],temperature [°C],humidity [%],rain [mm],wind [m/s]"
WINTER = """\
season: {name: Winter at Quillet Yard, from: 2026-10-05, until: 2026-10-31, timezone: Asia/Tokyo}
crew:
  Ines: {works: {mon-fri: [09:00-12:00]}}
tasks:
  paint: {minutes_each: 6, weather: painting}
gear:
  brood boxes: {piece: langstroth deep box, count: 2, steps: [paint]}
weather:
  forecast: forecast.csv
  needs: {painting: {at_least_celsius: 8}}
"""


def rows(days, first=date(2026, 10, 5)):
    """Nights of 4 °C, from 10:00 to 16:00 12 °C, dry air, no rain, no wind."""
    for n in range(days):
        for hour in range(24):
            yield f"{first + timedelta(days=n)} {hour:02}:00,{12 if 10 <= hour < 16 else 4},50,0,1"


@pytest.fixture
def record(tmp_path):
    file = tmp_path / "forecast.csv"
    file.write_text("\n".join([HEADER, *rows(10)]) + "\n", "utf-8")
    return file


@pytest.fixture
def winter(record):
    file = record.with_name("winter.yaml")
    file.write_text(WINTER, "utf-8")
    return file


def flat(text):
    return " ".join(text.split())


def told(capsys, *words):
    """Exit code, and what was said by each of the two ways out."""
    code = main(["weather", *map(str, words)])
    captured = capsys.readouterr()
    assert "Traceback" not in captured.err
    return code, captured.out, captured.err


def test_a_record_is_shown_for_every_kind_of_work_known(record, capsys):
    code, out, err = told(capsys, record)
    assert (code, err) == (0, "")
    assert out.startswith("forecast.csv: 240 rows, hour by hour, by UTC")
    for need in NEEDS:
        assert f"\n{need}\n  Mon 5 Oct   " in out
    assert "\ngluing\n  Mon 5 Oct   00-10 too cold, 10-14 FIT, 14-16 cold after, 16-24 too cold\n" in out
    assert out.rstrip().endswith(LAST_WORD)
    assert max(map(len, out.splitlines())) <= 80


def test_only_the_needs_asked_for_are_shown_in_their_order_and_once(record, capsys):
    _, out, _ = told(capsys, record, "--need", "gluing", "--need", "airing comb", "--need", "gluing")
    assert [line for line in out.splitlines() if line in NEEDS] == ["gluing", "airing comb"]


def test_only_the_days_asked_for_are_shown(record, capsys):
    _, out, _ = told(capsys, record, "--from", "2026-10-07", "--until", "2026-10-08", "--need", "gluing")
    assert "From Wed 7 Oct 2026 to Thu 8 Oct 2026: 2 days." in out
    assert "Oct 2026 gluing 8 48 colder than asked" in flat(out)


def test_with_a_scenario_its_own_needs_are_asked_by_its_own_clock(record, winter, capsys):
    code, out, _ = told(capsys, record, "--scenario", winter, "--from", "2026-10-06", "--until", "2026-10-06")
    assert code == 0
    assert "painting\n  Tue 6 Oct   00-01 FIT, 01-19 too cold, 19-24 FIT\n" in out
    assert "by the clock of Asia/Tokyo" in out


def test_a_time_zone_written_wins_over_that_of_the_scenario(record, winter, capsys):
    _, out, _ = told(capsys, record, "--scenario", winter, "--timezone", "UTC", "--until", "2026-10-05")
    assert "painting\n  Mon 5 Oct   00-10 too cold, 10-16 FIT, 16-24 too cold\n" in out


def test_a_scenario_is_shown_with_the_winter_it_is_planned_with(winter, capsys):
    code, out, _ = told(capsys, winter)
    assert code == 0
    assert "is from forecast.csv" in flat(out)
    assert "From Mon 5 Oct 2026 to Sat 31 Oct 2026: 27 days." in out
    assert "painting\n  Mon 5 Oct   00-09 not known, 09-19 too cold, 19-24 FIT\n" in out


def test_a_picture_is_drawn_of_the_days_and_needs_shown(record, tmp_path, capsys):
    picture = tmp_path / "fit.svg"
    code, out, _ = told(capsys, record, "--need", "gluing", "--until", "2026-10-06", "--picture", picture)
    assert code == 0
    assert out.rstrip().endswith(f"The picture is in {picture}.")
    words = [text.text for text in ET.parse(picture).getroot().iter("{http://www.w3.org/2000/svg}text")]  # noqa: S314
    assert {"Hours fit for work: forecast.csv", "gluing", "8 of 48 known hours fit"} <= set(words)
    assert not set(words) & set(NEEDS) - {"gluing"}


def test_a_picture_of_ours_is_drawn_anew_and_keeps_its_permissions(record, tmp_path, capsys):
    picture = tmp_path / "fit.svg"
    told(capsys, record, "--picture", picture, "--need", "gluing")
    picture.chmod(0o640)
    before = picture.read_text("utf-8")
    code, _, _ = told(capsys, record, "--picture", picture, "--until", "2026-10-06")
    assert code == 0
    assert picture.read_text("utf-8") != before
    assert picture.stat().st_mode & 0o777 == 0o640
    assert sorted(file.name for file in tmp_path.iterdir()) == ["fit.svg", "forecast.csv"]


@pytest.mark.parametrize("content", ["", "<svg/>", "notes on bees", "format: 1\nscenario: winter.yaml\n"])
def test_a_file_that_is_not_a_picture_of_ours_is_left_as_it_is(record, tmp_path, capsys, content):
    other = tmp_path / "mine.svg"
    other.write_text(content, "utf-8")
    code, out, err = told(capsys, record, "--picture", other)
    assert (code, out) == (2, "")
    assert "is a file that is not a picture of offseason; it was left as it is" in flat(err)
    assert other.read_text("utf-8") == content


def test_the_record_itself_is_never_drawn_over(tmp_path, capsys):
    record = tmp_path / "record.svg"
    content = "\n".join([HEADER, *rows(1), MARK])
    record.write_text(content, "utf-8")
    (tmp_path / "link.svg").symlink_to(record)
    for target in (record, tmp_path / "link.svg"):
        code, _, err = told(capsys, record, "--picture", target)
        assert code == 2
        assert "is what the picture is drawn from" in flat(err)
    assert record.read_text("utf-8") == content


def test_a_picture_has_a_name_that_says_so(record, tmp_path, capsys):
    code, _, err = told(capsys, record, "--picture", tmp_path / "fit.png")
    assert code == 2
    assert "give it a name that ends in .svg" in err
    assert not (tmp_path / "fit.png").exists()


def test_a_folder_a_pipe_or_a_place_that_is_not_there_is_no_place_for_a_picture(record, tmp_path, capsys):
    (tmp_path / "folder.svg").mkdir()
    os.mkfifo(tmp_path / "pipe.svg")
    for target, why in (
        (tmp_path / "folder.svg", "is a folder, not a picture file"),
        (tmp_path / "pipe.svg", "is a device, a pipe or the like, not a picture file"),
        (tmp_path / "nowhere" / "fit.svg", "there is no such folder"),
        ("fit\0.svg", "this is not a name a file can have"),
    ):
        code, out, err = told(capsys, record, "--picture", target)
        assert (code, out) == (2, "")
        assert why in flat(err)


def test_where_no_picture_can_be_drawn_nothing_is_written(record, tmp_path, capsys):
    picture = tmp_path / "fit.svg"
    record.write_text("day,lowest [°C],highest [°C]\n2020-01-01,1,9\n2026-01-01,1,9\n", "utf-8")
    code, out, err = told(capsys, record, "--picture", picture)
    assert (code, out) == (2, "")
    assert "2,193 days are too many for one picture, which has room for 400; choose some" in flat(err)
    assert not picture.exists()


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (["--need", "glueing"], "--need: there is no weather called 'glueing'; did you mean 'gluing'?"),
        (["--need", "bees"], "kinds of weather known here: painting with latex, painting with oil, gluing"),
        (["--from", "2026-10-09", "--until", "2026-10-07"], "--from 2026-10-09 lies after --until 2026-10-07"),
        (["--from", "2027-10-09"], "there is no weather of these days; it goes from Mon 5 Oct 2026 to Wed 14 Oct 2026"),
        (["--timezone", "Europ/Paris"], "'Europ/Paris' is not a time zone known here; did you mean 'Europe/Paris'?"),
        (["--scenario", "nowhere.yaml"], "nowhere.yaml"),
    ],
)
def test_a_mistake_on_the_command_line_is_told_with_what_would_do(record, capsys, words, why):
    code, out, err = told(capsys, record, *words)
    assert (code, out) == (2, "")
    assert why in flat(err)


@pytest.mark.parametrize("option", ["--scenario", "--timezone", "--station"])
def test_what_a_scenario_says_itself_is_not_written_beside_it(winter, capsys, option):
    code, _, err = told(capsys, winter, option, winter)
    assert code == 2
    assert f"is a scenario and says itself what weather it is; leave out {option}." in flat(err)


def test_a_scenario_in_which_nothing_waits_for_weather_is_told_so(winter, record, capsys):
    text = WINTER.replace(", weather: painting", "")
    winter.write_text(text[: text.index("weather:")], "utf-8")
    for words in ([winter], [record, "--scenario", winter]):
        code, _, err = told(capsys, *words)
        assert code == 2
        assert "no work in it asks for weather that could be shown" in flat(err)


@pytest.mark.parametrize(("name", "content"), [("none.csv", None), ("empty.csv", ""), ("notes.csv", "it rained\n")])
def test_a_file_that_is_no_record_is_told_in_a_sentence(tmp_path, capsys, name, content):
    if content is not None:
        (tmp_path / name).write_text(content, "utf-8")
    code, out, err = told(capsys, tmp_path / name)
    assert (code, out) == (2, "")
    assert name in err


@pytest.mark.parametrize("words", [["\x1b[31mred.csv"], ["\x1b[31m.yaml"], ["a.csv", "--timezone", "\x1b[31m"],
                                   ["a.csv", "--from", "\x1b[31m"], ["a.csv", "\x1b[31m"]])  # fmt: skip
def test_no_name_written_on_the_command_line_steers_the_terminal(capsys, words):
    code, out, err = told(capsys, *words)
    assert (code, out) == (2, "")
    assert "[31m" in err
    assert err.rstrip("\n").isprintable()


def test_a_picture_whose_name_would_steer_the_terminal_is_drawn_and_named_without(record, tmp_path, capsys):
    picture = tmp_path / "fit\x1b[31m.svg"
    code, out, _ = told(capsys, record, "--picture", picture)
    assert (code, picture.exists()) == (0, True)
    assert "fit?[31m.svg" in out
    assert "\x1b" not in out


def test_a_folder_is_told_by_the_name_it_was_given(capsys):
    code, _, err = told(capsys, ".")
    assert code == 2
    assert err == ".: this is a folder; name the weather file itself\n"


def test_a_scenario_whose_weather_file_is_not_there_is_told_so(winter, record, capsys):
    record.unlink()
    code, _, err = told(capsys, winter)
    assert code == 2
    assert "forecast.csv" in err
