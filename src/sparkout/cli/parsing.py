"""Command-line arguments: argparse, made to fit 80 columns and to be helpful about slips."""

from __future__ import annotations

import argparse
import sys

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from types import ModuleType
    from typing import NoReturn

__all__ = ["Parser", "build", "everything", "parse"]

_WIDTH = 79
_MANY = 40  # letters of all choices together

# argparse looks for translated messages on the disk, anew for each word it says, and loads locale
# for it. There are none, so each word is its own translation; a tenth of a quick command is saved.
argparse._ = str  # type: ignore[attr-defined]


class _Formatter(argparse.HelpFormatter):
    """A fixed width: asking the terminal would load compression libraries through shutil."""

    def __init__(self, prog: str) -> None:
        super().__init__(prog, max_help_position=26, width=_WIDTH)

    def _fill_text(self, text: str, width: int, indent: str) -> str:
        """Sentences are filled to the width; one with indented lines is left alone."""
        if any(line.startswith("  ") for line in text.splitlines()):
            return "\n".join(indent + line for line in text.splitlines())
        return super()._fill_text(text, width, indent)

    def _metavar_formatter(
        self, action: argparse.Action, default_metavar: str
    ) -> Callable[[int], tuple[str, ...]]:
        """A long list of choices goes into the help text instead of the usage line."""
        if action.metavar is None and _listed(action):
            return lambda size: (default_metavar,) * size
        return super()._metavar_formatter(action, default_metavar)

    def _get_help_string(self, action: argparse.Action) -> str | None:
        listed = "" if action.metavar is not None else _listed(action)
        return f"{action.help or ''} ({listed})".strip() if listed else action.help


def _listed(action: argparse.Action) -> str:
    """The choices of an argument in words, where they are too many to stand in a line."""
    choices = [str(choice) for choice in action.choices or ()]
    return ", ".join(choices) if sum(map(len, choices)) > _MANY else ""


class Parser(argparse.ArgumentParser):
    """Options are spelt out in full, and a mistyped one is answered with the one it resembles."""

    def error(self, message: str) -> NoReturn:
        self.print_usage(sys.stderr)
        wrong = next((word for word in message.split() if word.startswith("--")), "")
        known = [name for action in self._actions for name in action.option_strings]
        if wrong and wrong not in known:
            from sparkout.sheet.nearest import nearest

            near = nearest(wrong, known)
            message += f"; did you mean {near}?" if near else ""
        self.exit(2, f"{self.prog}: {message}\n")


def build(name: str, module: ModuleType) -> Parser:
    """The parser of one command."""
    p = Parser(prog=f"sparkout {name}", allow_abbrev=False, formatter_class=_Formatter)
    return _filled(p, module)


def everything(commands: Sequence[tuple[str, str, str]], modules: Sequence[ModuleType]) -> Parser:
    """One parser of all commands, for what has to know them all (shell completion)."""
    top = Parser(prog="sparkout", allow_abbrev=False, formatter_class=_Formatter)
    top.add_argument("--version", action="store_true", help="the version, and nothing else")
    below = top.add_subparsers(metavar="COMMAND")
    for (name, _, line), module in zip(commands, modules, strict=True):
        _filled(below.add_parser(name, help=line, allow_abbrev=False), module)
    return top


def parse(name: str, module: ModuleType, words: list[str]) -> argparse.Namespace | int:
    """The arguments, or the exit status where argparse has already said all there is to say."""
    try:
        return build(name, module).parse_args([_minus(word) for word in words])
    except SystemExit as leave:
        return leave.code if isinstance(leave.code, int) else 2


def _filled(p: Parser, module: ModuleType) -> Parser:
    p.description = module.HELP
    module.parser(p)
    return p


def _minus(word: str) -> str:
    """'-0,08' and '-1/2' are sizes, not options: give them a true minus, which is read as one."""
    if word[:1] == "-" and word[1:2] in "0123456789.," and len(word) > 1:
        try:
            float(word)
        except ValueError:
            return "\N{MINUS SIGN}" + word[1:]
    return word
