"""Write docs/characteristics.md from the table the program works by, or check that it is true.

python tools/characteristics.py           writes the page
python tools/characteristics.py --check   writes nothing; exits 1 where the page would change
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

from sparkout.engine.characteristics import ALL, Characteristic

PAGE = Path(__file__).resolve().parent.parent / "docs" / "characteristics.md"
HEADS = (
    ("B", "Block, deck, liners, bores, housings"),
    ("K", "Crankshaft and its bearings"),
    ("R", "Connecting rods"),
    ("P", "Pistons, pins, rings"),
    ("C", "Camshaft and valve gear"),
    ("H", "Cylinder head"),
    ("O", "Oil pump"),
    ("G", "Gears, chain"),
    ("D", "Damper"),
    ("W", "Flywheel"),
    ("X", "Fasteners"),
)
INTRO = "\n\n".join(
    (
        "# What is measured",
        "<!-- Written by tools/characteristics.py from engine/characteristics: change that, not "
        "this page. -->",
        "Everything the program knows how to take in or work out, with what the trade reads it "
        "by, where, and how its value comes about. Data sheets give limits by these names, "
        "readings name them, `sparkout sheets` prints them.",
        "**of**: the kind of feature it belongs to. **sense**: what the number measures across; "
        "the commonest slip of the trade is a factor of two there. **wear**: + where wear makes "
        "it larger, − where smaller. Instruments and places are common practice; the maker's "
        "own instructions go first.",
        "Extremes decide over places; repeats at one place are averaged. How sure a value is "
        "follows from its readings ([gauges and masters](shop-file.md#gauges-and-masters)). "
        "What a thread was tightened to is no size: it stands in the log of the assembly, step "
        "by step.",
    )
)


def page() -> str:
    """The whole page."""
    parts = [INTRO + "\n"]
    for letter, title in HEADS:
        rows = [item for item in ALL if item.mark[0] == letter]
        parts.append(f"## {title}\n")
        parts.append("\n".join(_table(sorted(rows, key=lambda item: item.mark))) + "\n")
    return "\n".join(parts)


def _table(rows: Sequence[Characteristic]) -> list[str]:
    lines = [
        "| mark | characteristic | of | sense | wear | read with | where | how it comes about |",
        "|---|---|---|---|---|---|---|---|",
    ]
    for item in rows:
        wear = {1: "+", -1: "−", 0: ""}[item.wears]
        sense = item.sense.value or ("" if item.dimension == "length" else item.dimension)
        cells = (
            item.mark,
            f"`{item.name}`",
            item.feature,
            sense,
            wear,
            item.gauge,
            item.places,
            item.derivation,
        )
        lines.append("| " + " | ".join(cells) + " |")
    return lines


def main(words: Sequence[str]) -> int:
    strays = [item.name for item in ALL if item.mark[0] not in {letter for letter, _ in HEADS}]
    if strays:
        print("no heading for: " + ", ".join(strays))
        return 1
    text = page()
    if "--check" in words:
        if not PAGE.exists() or PAGE.read_text(encoding="utf-8") != text:
            print(f"{PAGE.name} is not what the table makes; run tools/characteristics.py")
            return 1
        return 0
    PAGE.write_text(text, encoding="utf-8")
    return 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
