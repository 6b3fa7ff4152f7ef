"""A plan and the forecast it was made with, which a keeper replaces every week."""

import pytest

from offseason.cli import main
from tests.test_weather_command import HEADER, WINTER, rows

FAST = ("--seconds", "5", "--workers", "1", "--quiet")


@pytest.fixture
def planned(tmp_path, capsys):
    (tmp_path / "weather").mkdir()
    (tmp_path / "weather" / "forecast.csv").write_text("\n".join([HEADER, *rows(10)]) + "\n", "utf-8")
    winter = tmp_path / "winter.yaml"
    winter.write_text(WINTER.replace("forecast: ", "forecast: weather/").replace("Asia/Tokyo", "UTC"), "utf-8")
    assert main(["plan", str(winter), *FAST]) == 0
    capsys.readouterr()
    return tmp_path / "winter.plan.yaml"


def flat(text):
    return " ".join(text.split())


def new_forecast(plan, *, cold):
    file = plan.parent / "weather" / "forecast.csv"
    text = "\n".join([HEADER, *rows(11)]) + "\n"
    file.write_text(text.replace(",12,", ",6,") if cold else text, "utf-8")


CHANGED = "weather/forecast.csv has changed since this plan was made; "


def test_a_plan_made_with_this_forecast_is_audited_without_a_remark(planned, capsys):
    assert main(["audit", str(planned)]) == 0
    assert "changed" not in capsys.readouterr().out


def test_audit_says_that_there_is_another_forecast_since_also_where_every_promise_still_holds(planned, capsys):
    new_forecast(planned, cold=False)
    assert main(["audit", str(planned)]) == 0
    told = flat(capsys.readouterr().out)
    assert told.startswith(f"{CHANGED}the plan is judged by the weather as it is now.")


def test_audit_of_a_plan_that_the_new_forecast_is_too_cold_for_says_whose_weather_it_is_judged_by(planned, capsys):
    new_forecast(planned, cold=True)
    assert main(["audit", str(planned)]) == 4
    assert f"{CHANGED}the plan is judged by the weather as it is now." in flat(capsys.readouterr().out)


def test_show_says_that_there_is_another_forecast_since(planned, capsys):
    new_forecast(planned, cold=True)
    assert main(["show", str(planned)]) == 0
    assert f"{CHANGED}offseason audit tells what no longer holds." in flat(capsys.readouterr().out)


def test_a_forecast_that_was_taken_away_is_an_error_of_its_own(planned, capsys):
    (planned.parent / "weather" / "forecast.csv").unlink()
    assert main(["audit", str(planned)]) == 2
    assert "weather/forecast.csv: this file is not there" in capsys.readouterr().err
