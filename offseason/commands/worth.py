"""``offseason worth``: mend or replace, and where the winter's hours are best spent."""

from __future__ import annotations

import argparse

from offseason.commands.outcome import Outcome
from offseason.commands.settled import settled
from offseason.plan.worth import worth_of
from offseason.scenario.read import read_scenario
from offseason.share.exit_codes import DONE
from offseason.share.terminal.worth import worth_text
from offseason.workload.build import build_workload


def worth(arguments: argparse.Namespace) -> Outcome:
    """Weighs the work on each lot at the prices of the scenario; writes nothing."""
    arguments.ctrl_c.listen()
    scenario, outlook = settled(read_scenario(arguments.file), arguments.file)
    return Outcome(DONE, worth_text(scenario, worth_of(scenario, build_workload(scenario, outlook))))
