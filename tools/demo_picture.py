"""Draw what `sparkout demo` prints as the picture of the README.

    python tools/demo_picture.py           writes docs/pictures/demo.svg
    python tools/demo_picture.py --check   writes nothing; exits 1 where the picture would change

Only lines that were printed appear; where lines are left out, a line says how many.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import sys
from collections.abc import Iterator
from html import escape
from pathlib import Path

PICTURE = Path(__file__).resolve().parent.parent / "docs" / "pictures" / "demo.svg"
# heading of a section: how many of its first lines are shown
SHOWN = {
    "OUT OF LIMITS": 8,
    "NOT PROVEN": 2,
    "NOT MEASURED": 2,
    "THE PLAN": 15,
    "HOW DEEP": 4,
    "WHAT TO MEASURE NEXT": 2,
    "ORDER OF WORK": 5,
    "PRICE": 4,
}
LAST = 5  # lines of the price from its end
WIDTH, SIZE, LEADING = 80, 13, 18
PAPER, INK, STRONG, FAINT, OUT = "#fbfaf7", "#222222", "#0b3c5d", "#6b6b6b", "#9b1c1c"


def printed() -> list[str]:
    """The lines `sparkout demo --no-pdf` prints at 80 columns."""
    from sparkout.cli.main import run

    told = io.StringIO()
    with contextlib.redirect_stdout(told):
        status = run(["demo", "--no-pdf"])
    if status != 0:
        raise SystemExit(f"sparkout demo ended with status {status}")
    return told.getvalue().rstrip().splitlines()


def sections(lines: list[str]) -> Iterator[tuple[str, list[str]]]:
    """Each heading, printed above a rule, with its lines; the lines before the first under ''."""
    heading, held = "", list[str]()
    for k, line in enumerate(lines):
        ruled = k + 1 < len(lines) and set(lines[k + 1]) == {"─"}
        if ruled:
            yield heading, held
            heading, held = line, []
        elif not (line and set(line) == {"─"}):
            held.append(line)
    yield heading, held


def picked(lines: list[str]) -> Iterator[str]:
    """What the picture shows."""
    for heading, held in sections(lines):
        if not heading:
            yield from held
            continue
        most = next((n for start, n in SHOWN.items() if heading.startswith(start)), 0)
        if not most:
            continue
        body = [line for line in held if line.strip()]
        while most < len(body) and body[most].startswith("    ") and heading != "PRICE":
            most += 1  # never cut a sentence in two
        end = body[-LAST:] if heading == "PRICE" else []
        left = len(body) - most - len(end)
        yield heading
        yield from body[:most]
        if left > 0:
            yield f"    … {left} more lines"
        yield from end
        yield ""


def colour(line: str) -> tuple[str, str]:
    if line[:1].isupper() and line.split(":")[0].isupper():
        return STRONG, "bold"
    if line.lstrip().startswith("…"):
        return FAINT, "normal"
    if line.lstrip().startswith("✕"):
        return OUT, "normal"
    return INK, "normal"


def drawn(lines: list[str]) -> str:
    """The lines as an SVG of text that can be selected and searched."""
    wide, high = round(WIDTH * SIZE * 0.602) + 40, len(lines) * LEADING + 40
    rows = []
    for k, line in enumerate(lines):
        fill, weight = colour(line)
        rows.append(
            f'<text x="20" y="{20 + (k + 1) * LEADING - 5}" fill="{fill}" font-weight="{weight}"'
            f' xml:space="preserve">{escape(line)}</text>'
        )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" role="img"'
        f' aria-label="What the demonstration prints" font-family="DejaVu Sans Mono, Consolas,'
        f' Menlo, monospace" font-size="{SIZE}">\n'
        f'<rect width="{wide}" height="{high}" rx="8" fill="{PAPER}" stroke="#d8d4c8"/>\n'
        + "\n".join(rows)
        + "\n</svg>\n"
    )


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--check", action="store_true", help="write nothing, say what would change")
    check = parser.parse_args().check
    text = drawn(list(picked(printed())))
    if PICTURE.exists() and PICTURE.read_text(encoding="utf-8") == text:
        return 0
    if check:
        print("docs/pictures/demo.svg would change: make docs", file=sys.stderr)
        return 1
    PICTURE.parent.mkdir(parents=True, exist_ok=True)
    PICTURE.write_text(text, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
