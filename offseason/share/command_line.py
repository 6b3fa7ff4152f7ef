"""The words of the command line: commands, options, and a sentence for each mistake in them."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Callable, Mapping
from typing import Any, NoReturn

from offseason import __version__
from offseason.scenario.nearest import nearest, offer
from offseason.share.command_words import COMMANDS
from offseason.share.exit_codes import EXIT_CODES, FILE_WRONG
from offseason.share.terminal.layout import clean

Command = Callable[[argparse.Namespace], Any]

_EXAMPLES = {"FILE": "winter.yaml", "PLAN": "winter.plan.yaml", "COMMAND": "plan winter.yaml"}


class Parser(argparse.ArgumentParser):
    """Tells of a mistake in one sentence, with the nearest word that would do."""

    def __init__(self, **settings: Any) -> None:
        super().__init__(epilog=EXIT_CODES, formatter_class=argparse.RawDescriptionHelpFormatter, **settings)
        self.by_command: dict[str, Parser] = {}
        self.free_words = False  # whether words may stand between options, and begin with a dash, as -80 does

    def parse_known_args(self, args: Any = None, namespace: Any = None) -> Any:
        """As in argparse; where words are free, only what is written like an option is one."""
        if self.free_words and args is not None:
            args = self._options_first(list(args))
        return super().parse_known_args(args, namespace)

    def _options_first(self, args: list[str]) -> list[str]:
        options, words = [], []
        while args:
            word = args.pop(0)
            if word == "--":
                words += args
                break
            if not re.match(r"--[a-z]|-h$", word):
                words.append(word)
                continue
            options.append(word)
            action = self._option_string_actions.get(word)
            if action is not None and action.nargs is None and args:
                options.append(args.pop(0))
        return [*options, "--", *words]

    def parse_args(self, args: Any = None, namespace: Any = None) -> Any:
        """As in argparse; what is left over is told by the command it was written after."""
        words = sys.argv[1:] if args is None else list(args)
        if words and words[0].startswith("-") and not any(o.startswith(words[0]) for o in self._option_string_actions):
            self.error(f"unrecognized arguments: {words[0]}")
        found, rest = self.parse_known_args(words, namespace)
        if rest:
            self.by_command.get(getattr(found, "name", ""), self).error(f"unrecognized arguments: {' '.join(rest)}")
        return found

    def error(self, message: str) -> NoReturn:
        """Ends with exit code 2 and one sentence."""
        told = clean(" ".join(self._sentence(message).split()))
        told = told if told.endswith((".", "?")) else f"{told}."
        self.exit(FILE_WRONG, f"{self.prog}: {told} ('{self.prog} --help' shows what can be written.)\n")

    def _sentence(self, message: str) -> str:
        if found := re.match(r"unrecognized arguments: (\S+)", message):
            word, _, _ = found[1].partition("=")
            if not word.startswith("-"):
                return f"'{word}' is one word too many here."
            close = nearest(word, self._option_string_actions)
            return f"there is no option {word} here{f'; did you mean {close}?' if close else '.'}"
        if found := re.match(
            r"argument (\S+): invalid choice: ['\"](.*?)['\"] \(choose from (.*)\)", message, re.DOTALL
        ):
            where, word, rest = found.groups()
            known = [one.strip(" '") for one in rest.split(",")]
            if where == "COMMAND":
                return f"there is no command '{word[:60]}'; {offer(word, known, what='the commands are')}"
            return f"{where}: '{word[:60]}' cannot be chosen; {offer(word, known, what='there are')}"
        if found := re.match(r"the following arguments are required: (--[a-z-]+$|\w+)", message):
            example = f"; write it as in '{self.prog} {_EXAMPLES.get(found[1], '')}'"
            return f"{found[1]} is missing{', and has to be written here' if found[1].startswith('-') else example}."
        if found := re.match(r"argument (\S+): expected one argument", message):
            option = found[1].split("/")[0]
            return f"a word is missing after {option}; one that begins with a dash is written {option}=WORD."
        if found := re.match(r"argument (\S+): not allowed with argument (\S+)", message):
            one, other = sorted(found.groups())
            return f"{one} and {other} both say when to stop; write one of them."
        return message.removeprefix("argument ")


def command_line(commands: Mapping[str, Command]) -> Parser:
    """The commands and their options; each of ``commands``, by name, is what its words are handed to."""
    top = Parser(
        prog="offseason",
        description="Plans a beekeeper's winter of workshop work, day by day, so that every promise is kept.",
    )
    top.add_argument("--version", action="version", version=f"offseason {__version__}")
    subs = top.add_subparsers(title="commands", metavar="COMMAND", required=True, parser_class=Parser)

    def command(name: str, help_: str, *, free_words: bool) -> Parser:
        sub = subs.add_parser(name, help=help_, description=help_[0].upper() + help_[1:] + ".")
        sub.set_defaults(command=commands[name], name=name)
        sub.free_words = free_words
        top.by_command[name] = sub
        return sub

    for words in COMMANDS:
        words.add_to(command(words.name, words.help, free_words=words.free_words))
    return top
