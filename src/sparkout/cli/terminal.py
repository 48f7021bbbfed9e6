"""Lines of a report on the screen: coloured on a terminal, plain everywhere else."""

from __future__ import annotations

from sparkout.cli.output import colours

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable

__all__ = ["show_lines"]


def show_lines(lines: Iterable[str]) -> None:
    """Print them. Colour goes to marks and headings only and says nothing the words do not."""
    text = list(lines)
    if colours():
        from sparkout.report.text.colouring import coloured

        text = coloured(text)
    print("\n".join(text))
