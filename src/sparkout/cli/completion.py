"""sparkout completion: commands and options under the Tab key."""

from __future__ import annotations

from sparkout.cli.main import COMMANDS, find
from sparkout.cli.output import say
from sparkout.cli.parsing import everything

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse

HELP = "Print the text that lets a shell complete sparkout's commands and options."

_KEPT_IN = {
    "bash": "~/.local/share/bash-completion/completions/sparkout",
    "zsh": "a folder of $fpath, as _sparkout",
    "fish": "~/.config/fish/completions/sparkout.fish",
}


def parser(p: argparse.ArgumentParser) -> None:
    p.add_argument("shell", choices=tuple(_KEPT_IN), help="the shell it is for")
    p.epilog = "example:\n  sparkout completion bash > " + _KEPT_IN["bash"]


def main(args: argparse.Namespace) -> int:
    import shtab

    whole = everything(COMMANDS, [find(name) for name, _, _ in COMMANDS])
    print(shtab.complete(whole, shell=args.shell))
    say(f"Keep it in {_KEPT_IN[args.shell]}; a new shell will find it.")
    return 0
