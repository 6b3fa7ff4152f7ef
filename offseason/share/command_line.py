"""The words of the command line: commands, options, and a sentence for each mistake in them."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Callable, Mapping, Sequence
from typing import Any, NoReturn

from offseason import __version__
from offseason.scenario.nearest import nearest, offer
from offseason.share.command_help import Entry, commands_text, entries_text, entry_of, help_text, usage_of
from offseason.share.command_options import OPTIONS
from offseason.share.command_words import COMMANDS, FIRST_STEPS, CommandWords
from offseason.share.exit_codes import EXIT_CODES, FILE_WRONG
from offseason.share.terminal.layout import clean

Command = Callable[[argparse.Namespace], Any]

_EXAMPLES = {
    "FILE": "winter.yaml",
    "PLAN": "winter.plan.yaml",
    "COMMAND": "plan winter.yaml",
    "share --to": "winter.plan.yaml --to for-helpers",
    "carry-over --to": "winter.plan.yaml --to next-winter.yaml",
}


class Parser(argparse.ArgumentParser):
    """Tells of a mistake in one sentence, with the nearest word that would do."""

    def __init__(self, **settings: Any) -> None:
        super().__init__(add_help=False, **settings)
        self.by_command: dict[str, Parser] = {}
        self.examples: Sequence[Entry] = ()
        self.free_words = False  # whether words may stand between options, and begin with a dash, as -80 does

    def format_help(self) -> str:
        """What must be written, what may be, and examples; ``--help`` stands last, since whoever reads it knows it."""
        shown = self._actions
        written = [entry_of(action) for action in shown if not action.option_strings]
        options = [entry_of(action) for action in shown if action.option_strings]
        parts = [entries_text("what to write", written), entries_text("options", options), self._examples()]
        return help_text(usage_of(self.prog, shown), self.description or "", parts)

    def _examples(self) -> str:
        return commands_text("example" if len(self.examples) == 1 else "examples", self.examples)

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
            word = found[1]
            key = f"{self.prog.split()[-1]} {word}" if word.startswith("-") else word
            return f"{word} is missing; write it as in '{self.prog} {_EXAMPLES.get(key, '')}'."
        if found := re.match(r"argument (\S+): expected one argument", message):
            option = found[1].split("/")[0]
            return f"a word is missing after {option}; one that begins with a dash is written {option}=WORD."
        if found := re.match(r"argument (\S+): not allowed with argument (\S+)", message):
            one, other = sorted(found.groups())
            return f"{one} and {other} both say when to stop; write one of them."
        return message.removeprefix("argument ")


class TopParser(Parser):
    """The commands, with what to do first."""

    def format_help(self) -> str:
        """What there is, and how it ends."""
        first = commands_text("to begin with", FIRST_STEPS)
        commands = entries_text("all commands", [(words.name, words.help) for words in COMMANDS])
        options = entries_text("options", [entry_of(action) for action in self._actions if action.option_strings])
        return help_text(f"{self.prog} COMMAND ...", self.description or "", [first, commands, options, EXIT_CODES])


def command_line(commands: Mapping[str, Command]) -> Parser:
    """The commands and their options; each of ``commands``, by name, is what its words are handed to."""
    top = TopParser(
        prog="offseason",
        description="Plans a beekeeper's winter of workshop work, day by day, so that every promise is kept. "
        "'offseason COMMAND --help' tells more of a command.",
    )
    top.add_argument("--version", action="version", version=f"offseason {__version__}", help="show the version")
    _add_help(top)
    subs = top.add_subparsers(metavar="COMMAND", required=True, parser_class=Parser)

    def add(words: CommandWords) -> None:
        about = f"{words.help[0].upper()}{words.help[1:]}."
        sub = subs.add_parser(words.name, description=about)
        sub.set_defaults(command=commands[words.name], name=words.name)
        sub.free_words, sub.examples = words.free_words, words.examples
        OPTIONS[words.name](sub)
        _add_help(sub)
        top.by_command[words.name] = sub

    for words in COMMANDS:
        add(words)
    return top


def _add_help(words: Parser) -> None:
    words.add_argument("-h", "--help", action="help", help="show this")
