"""A build record as PDF against the same pages through WeasyPrint, as ratios in one run.

The same tables, boxes and SVG drawings, the same font files, A4; both engines warm, alternating.
"One reading changed" is the daily case: a document printed again after a correction. "All new" is
another engine's document. Start-up is a whole process from nothing to the first document.
WeasyPrint is the peer; it is needed for this comparison only (pip install weasyprint) and the run
says so and stops when it is not there.

Run: python -m benchmarks.paper
"""

from __future__ import annotations

import html
import importlib.util
import random
import statistics
import subprocess
import sys
import time
from base64 import b64encode
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from sparkout.drawings.clearance_bars import BeforeAfter, ClearanceTable, clearance_bars
from sparkout.drawings.engine_plan import Bank, EnginePlan, Layout, engine_plan
from sparkout.drawings.fasteners import Fastener, FastenerMap, fastener_map
from sparkout.drawings.limit_bar import LimitBar, limit_bars
from sparkout.drawings.palette import Verdict
from sparkout.drawings.strip import Spot
from sparkout.report.paper import render
from sparkout.report.paper.glyphs import FONTS

ROUNDS = 7
HEAD = ("Feature", "Reading mm", "Low", "High", "Result", "As left")
WORDS = tuple(Verdict)
TEMPLATE = """#import "/parts.typ": *
#show: frame
= #data.frame.title
#for box in data.cautions { caution(box.signal, hazard: box.hazard, avoid: box.avoid) }
#for section in data.sections {
  [== #section.title]
  if section.drawing != "" { picture(section.drawing) }
  let widths = (2fr, 1fr, 1fr, 1fr, 1.4fr, 1.2fr)
  data-table(data.head, section.rows, widths: widths, numbers: (1, 2, 3))
}
#signatures(("Machinist", "Released by"))
"""


def record(seed: int, changed: int = 0) -> tuple[dict[str, Any], dict[str, str]]:
    """Data and drawings of one build record; changed: one reading of it is another."""
    rng = random.Random(seed)

    def size() -> float:
        return 64.98 + rng.randrange(400) / 10_000

    sections = []
    drawings = {}
    for number in range(12):
        rows: list[list[object]] = [
            [f"Journal {k + 1}", f"{size():.4f}", "64.9800", "65.0000",
             {"verdict": rng.choice(WORDS).value}, f"{size():.3f}"]
            for k in range(18)
        ]  # fmt: skip
        sections.append({"title": f"Group {number + 1}", "drawing": f"d{number}", "rows": rows})
        verdicts = [rng.choice(WORDS) for _ in range(6)]
        drawings[f"d{number}"] = (
            engine_plan(
                EnginePlan(
                    Layout.INLINE,
                    (Bank("", tuple(Spot(str(k + 1), v, f"{size():.3f}")
                                    for k, v in enumerate(verdicts))),),
                )
            ),
            limit_bars([LimitBar(f"Journal {k}", v, size(), expanded=0.002, new=(64.98, 65.0))
                        for k, v in enumerate(verdicts[:3])]),
            clearance_bars(
                ClearanceTable("Oil clearance", tuple(
                    BeforeAfter(str(k), size() - 64.9, v, size() - 64.9, Verdict.OK)
                    for k, v in enumerate(verdicts)), 0.05, 0.1)
            ),
            fastener_map(
                FastenerMap("Main caps", tuple(
                    Fastener(k % 7 * 50 + rng.random(), k // 7 * 90, k + 1, k < 5)
                    for k in range(14)))
            ),
        )[number % 4]  # fmt: skip
    sections[0]["rows"][0][1] = f"{64.98 + changed / 10_000:.4f}"  # type: ignore[index]
    cautions = [
        {"signal": signal, "hazard": "Springs under load", "avoid": ["Use a compressor."]}
        for signal in ("WARNING", "CAUTION", "NOTICE")
    ]
    frame = {"shop": "Harbour Engine Works", "job": f"J-{seed:04}", "title": "Build record",
             "revision": "1", "date": "2027-03-01"}  # fmt: skip
    return {"frame": frame, "cautions": cautions, "sections": sections, "head": HEAD}, drawings


def ours(templates: Path, data: dict[str, Any], drawings: dict[str, str]) -> bytes:
    return render("bench", data, "a4", drawings, templates=templates)


def page_html(data: dict[str, Any], drawings: dict[str, str]) -> str:
    """The same document as HTML with print styles."""
    frame = data["frame"]
    regular, bold = ((FONTS / f"NotoSans-{cut}.ttf").as_uri() for cut in ("Regular", "Bold"))
    parts = [
        "<!doctype html><html lang=en-GB><meta charset=utf-8><style>"
        f"@font-face{{font-family:'Noto Sans';src:url('{regular}')}}"
        f"@font-face{{font-family:'Noto Sans';font-weight:700;src:url('{bold}')}}"
        f"@page{{size:A4;margin:30mm 18mm 24mm;@top-left{{content:'{frame['shop']}'}}"
        "@top-right{content:'Page ' counter(page) ' of ' counter(pages)}"
        f"@bottom-left{{content:'Revision {frame['revision']}'}}}}"
        "body{font:9.5pt 'Noto Sans';margin:0}h1{font-size:16pt}h2{font-size:12pt}"
        "table{width:100%;border-collapse:collapse;font-size:8.5pt}tr{break-inside:avoid}"
        "th,td{border-top:.35pt solid #969696;border-bottom:.35pt solid #969696;"
        "padding:3.5pt 4pt;text-align:left}.n{text-align:right}img{width:100%}"
        ".c{border:1.6pt solid #000;margin:9pt 0;padding:4pt}"
        ".s{border-bottom:.8pt solid;height:9mm}"
        f"</style><title>{frame['title']}</title><h1>{frame['title']}</h1>"
    ]
    for box in data["cautions"]:
        avoid = "".join(f"<li>{html.escape(text)}" for text in box["avoid"])
        parts.append(
            f"<div class=c><b>{box['signal']}</b><p><b>{html.escape(box['hazard'])}</b>"
            f"<ul>{avoid}</ul></div>"
        )
    for section in data["sections"]:
        svg = b64encode(drawings[section["drawing"]].encode()).decode()
        parts.append(
            f"<h2>{section['title']}</h2><img alt='drawing' src='data:image/svg+xml;base64,{svg}'>"
        )
        parts.append("<table><thead><tr>" + "".join(f"<th>{h}" for h in data["head"]) + "</thead>")
        for row in section["rows"]:
            cells = []
            for k, cell in enumerate(row):
                text = f"<b>{cell['verdict']}</b>" if isinstance(cell, dict) else html.escape(cell)
                cells.append(f"<td{' class=n' if k in (1, 2, 3) else ''}>{text}")
            parts.append("<tr>" + "".join(cells))
        parts.append("</table>")
    parts.append("<div class=s>Machinist</div><div class=s>Released by</div>")
    return "".join(parts)


def theirs(data: dict[str, Any], drawings: dict[str, str]) -> bytes:
    import weasyprint

    made: bytes = weasyprint.HTML(string=page_html(data, drawings)).write_pdf(
        pdf_variant="pdf/ua-1"
    )
    return made


def seconds(act: Callable[[], bytes]) -> tuple[float, bytes]:
    start = time.perf_counter()
    made = act()
    return time.perf_counter() - start, made


def pages(made: bytes) -> int:
    from io import BytesIO

    from pypdf import PdfReader

    return len(PdfReader(BytesIO(made)).pages)


def from_nothing(which: str) -> float:
    """Seconds of a whole process that makes one document."""
    start = time.perf_counter()
    subprocess.run([sys.executable, "-m", "benchmarks.paper", which], check=True)
    return time.perf_counter() - start


def main() -> None:
    if importlib.util.find_spec("weasyprint") is None:
        print("WeasyPrint is not installed (pip install weasyprint): nothing to compare with.")
        return
    with TemporaryDirectory() as folder:
        templates = Path(folder)
        (templates / "bench.typ").write_text(TEMPLATE, encoding="utf-8")
        first_ours, one = seconds(lambda: ours(templates, *record(0)))
        first_theirs, other = seconds(lambda: theirs(*record(0)))
        rows = [("first in the process", [first_ours], [first_theirs])]
        for name, make in (
            ("one reading changed", lambda k: record(0, k + 1)),
            ("all new", lambda k: record(k + 1)),
        ):
            mine, peer = [], []
            for k in range(ROUNDS):
                made = make(k)
                mine.append(seconds(lambda made=made: ours(templates, *made))[0])
                peer.append(seconds(lambda made=made: theirs(*made))[0])
            rows.append((name, mine, peer))
        cold = [[from_nothing(which) for _ in range(3)] for which in ("ours", "theirs")]
        rows.append(("whole process, cold", cold[0], cold[1]))
        mine_pages, peer_pages = pages(one), pages(other)
    print(f"pages: ours {mine_pages} ({len(one) // 1024} KiB, PDF/A-2a and PDF/UA-1), "
          f"WeasyPrint {peer_pages} ({len(other) // 1024} KiB, PDF/UA-1)")  # fmt: skip
    print(f"{'':22}{'ours ms':>10}{'WeasyPrint ms':>15}{'ratio':>9}{'ratio a page':>14}")
    for name, mine, peer in rows:
        a, b = statistics.median(mine) * 1e3, statistics.median(peer) * 1e3
        per_page = (b / peer_pages) / (a / mine_pages)
        print(f"{name:22}{a:>10.0f}{b:>15.0f}{f'1/{b / a:.0f}':>9}{f'1/{per_page:.0f}':>14}")


if __name__ == "__main__":
    if sys.argv[1:] == ["ours"]:
        with TemporaryDirectory() as folder:
            (Path(folder) / "bench.typ").write_text(TEMPLATE, encoding="utf-8")
            ours(Path(folder), *record(0))
    elif sys.argv[1:] == ["theirs"]:
        theirs(*record(0))
    else:
        main()
