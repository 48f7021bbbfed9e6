"""A document with every element, and ways to read a PDF back."""

from __future__ import annotations

import re
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import Any

from pypdf import PdfReader
from pypdf.generic import DictionaryObject

from sparkout.drawings.bore_map import BoreMap, bore_map
from sparkout.drawings.engine_plan import Bank, EnginePlan, Layout, engine_plan
from sparkout.drawings.limit_bar import LimitBar, limit_bars
from sparkout.drawings.palette import Verdict
from sparkout.drawings.strip import Spot

HERE = Path(__file__).parent
MARKUP = 'Typed *stars*, #hash, $sum$, `tick`, <angle>, @at, \\back, [x], "quotes", = one, // two'
LONG_NAME = (
    "Werkstatt für Motoreninstandsetzung, Zylinderschleiferei und Kurbelwellenprüfung am Hafen"
)
LONG_WORD = "Kolbenbolzenbuchsenausreibwerkzeug" * 6
LATIN = "Ελληνικά, Кириллица, Tiếng Việt, Łódź, ≤ ≥ ± − µm Ø ⌀ → ✓ ×10⁻³"
FOREIGN = "測量 and مقاس"

DRAWINGS = {
    "engine": engine_plan(
        EnginePlan(
            Layout.INLINE,
            (Bank("", tuple(Spot(str(k), v, "−0.021") for k, v in enumerate(Verdict, 1))),),
            firing_order=("1", "3", "5", "4", "2"),
        )
    ),
    "limits": limit_bars(
        (LimitBar("Main journal 3", Verdict.OK, 74.972, expanded=0.002, new=(74.98, 75.0)),)
    ),
    "bore": bore_map(BoreMap("Bore 2", (10, 60), (("thrust", 0), ("axial", 90)),
                             ((246, 172), (-12, None)), "100.000 mm", high=200)),
}  # fmt: skip


def demonstration(**frame: str) -> dict[str, Any]:
    """Data for demonstration.typ."""
    result = [verdict.value for verdict in Verdict]
    return {
        "frame": {
            "shop": "Harbour Engine Works",
            "job": "J-0147",
            "title": "Build record",
            "revision": "3",
            "date": "2027-03-01",
            "anchor": "log head 9f3c51aa, entry 412",
            **frame,
        },
        "paragraphs": [MARKUP, LATIN, LONG_WORD],
        "cautions": [
            {
                "signal": signal,
                "hazard": "Springs under load",
                "consequence": "Collets can fly out and hurt an eye.",
                "avoid": ["Use a compressor.", "Wear eye protection."],
            }
            for signal in ("WARNING", "CAUTION", "NOTICE")
        ],
        "verdicts": result,
        "ticks": [
            {"text": "Caps numbered", "done": True},
            {"text": "Galleries brushed", "done": False},
        ],
        "pictures": list(DRAWINGS),
        "offers": [
            {"name": "Least cost", "cells": ["EUR 3 480", None, ["Standard bores", "Crank −0.25"]]},
            {"name": "As new", "chosen": True, "cells": ["EUR 6 310", "EUR 2 830 more", ["New"]]},
        ],
        "offer_rows": ["Price", "Difference", "Buys"],
        "head": ["Feature", "Reading mm", "Low", "High", "Result", "As left"],
        "rows": [
            [
                LONG_NAME if k == 4 else f"Main journal {k}",
                "123456789012345678901234567890" if k == 5 else f"{74.95 + k / 10_000:.4f}",
                74.95,
                None,
                {"verdict": result[k % 5]},
                ({"write": True, "unit": "mm"}, {"tick": k % 2 == 0}, {"strong": "−0.25"})[k % 3],
            ]
            for k in range(300)
        ],
        "signatures": ["Machinist", {"role": "Released by", "name": "Ines Moreau"}],
    }


def reader(made: bytes) -> PdfReader:
    return PdfReader(BytesIO(made))


def words(made: bytes) -> str:
    """All text in reading order, line breaks as spaces, without invisible break places."""
    return flat("\n".join(page.extract_text() for page in reader(made).pages))


def flat(text: str) -> str:
    return re.sub(r"\s+", " ", text.replace("\u200b", ""))


def fonts(made: bytes) -> dict[str, DictionaryObject]:
    """Every font that the pages or the drawings in them use, by name."""
    found: dict[str, DictionaryObject] = {}

    def collect(resources: Any) -> None:
        resources = resources.get_object() if resources is not None else {}
        for font in (resources.get("/Font") or {}).values():
            font = font.get_object()
            found[str(font["/BaseFont"])] = font
        for part in (resources.get("/XObject") or {}).values():
            collect(part.get_object().get("/Resources"))

    for page in reader(made).pages:
        collect(page.get("/Resources"))
    return found


def structure(made: bytes) -> Iterator[DictionaryObject]:
    """Every element of the tag tree."""
    stack = [reader(made).trailer["/Root"]["/StructTreeRoot"]]
    while stack:
        node = stack.pop().get_object()
        if isinstance(node, list):
            stack.extend(reversed(node))
        elif isinstance(node, DictionaryObject):
            yield node
            kids = node.get("/K")
            if kids is not None:
                stack.append(kids)
