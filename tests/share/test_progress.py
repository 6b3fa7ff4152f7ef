"""What is to be seen while the search runs."""

import io
from dataclasses import dataclass

from offseason.share.terminal.progress import ProgressLine, progress_text
from offseason.share.terminal.spare import StageLine


@dataclass
class At:
    seconds: float
    stage: str = "done early"
    best: float | None = 1204
    gap: float | None = 0.017


class Terminal(io.StringIO):
    def isatty(self):
        return True


class Clock:
    now = 0.0

    def __call__(self):
        return self.now


def test_progress_says_time_stage_best_and_distance():
    assert progress_text(At(12.4)) == "12 s · done early · best 1,204 · at most 1.7 % from the best possible"


def test_progress_before_the_first_plan_says_so():
    assert progress_text(At(0.4, best=None, gap=None)) == "0 s · done early · no plan yet · distance not known yet"


def test_a_terminal_shows_one_line_that_is_rewritten_and_then_ended():
    terminal = Terminal()
    line = ProgressLine(terminal)
    line(At(1, "a long stage of the search"))
    line(At(2))
    line.close()
    line.close()
    assert terminal.getvalue().count("\n") == 1
    first, second = terminal.getvalue().strip("\r\n").split("\r")
    assert first.startswith("1 s · a long stage")
    assert second.startswith("2 s · done early")
    assert len(first) == len(second) == 79  # a shorter line leaves nothing of the longer one behind


def test_a_file_gets_a_line_when_something_changed_and_some_seconds_went_by():
    file, clock = io.StringIO(), Clock()
    line = ProgressLine(file, clock)
    for now, best in [(0, 1300), (1, 1250), (6, 1250), (7, 1240), (12, 1240), (18, 1240)]:
        clock.now = now
        line(At(now, best=best))
    line.close()
    assert [text.split(" · ")[2] for text in file.getvalue().splitlines()] == ["best 1,300", "best 1,250", "best 1,240"]


def test_a_search_of_many_small_questions_shows_on_one_line_what_is_asked_now():
    terminal = Terminal()
    line = StageLine(terminal)
    line(At(1, "the last start of a long step of some lot"))
    line(At(2, "room in the freezer"))
    line.close()
    first, second = terminal.getvalue().strip("\r\n").split("\r")
    assert first.rstrip() == "1 s · the last start of a long step of some lot"
    assert second.rstrip() == "2 s · room in the freezer"
    assert len(first) == len(second) == 79
