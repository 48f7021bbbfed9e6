"""Documents on paper, read back from their bytes."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from functools import cache
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from paper_samples import (
    DRAWINGS,
    FOREIGN,
    HERE,
    LATIN,
    LONG_NAME,
    LONG_WORD,
    MARKUP,
    demonstration,
    flat,
    fonts,
    reader,
    structure,
    words,
)

from sparkout.report.paper import PaperError, render
from sparkout.report.paper.press import data_digest, set_type

MM = 72 / 25.4


@cache
def made(paper: str = "a4") -> bytes:
    return render("demonstration", demonstration(), paper, DRAWINGS, templates=HERE)


def small(**changes: Any) -> dict[str, Any]:
    """The demonstration with nothing in it but what is given."""
    data = demonstration()
    for key, value in data.items():
        if isinstance(value, list) and key not in {"head", "offer_rows"}:
            data[key] = []
    return {**data, **changes}


def set_small(**changes: Any) -> bytes:
    return render("demonstration", small(**changes), templates=HERE)


# Page sizes in points: ISO 216 A4 is 210 × 297 mm; ANSI/ASME Y14.1 A (Letter) is 8.5 × 11 in.
@pytest.mark.parametrize(
    ("paper", "width", "height"), [("a4", 210 * MM, 297 * MM), ("letter", 612, 792)]
)
def test_every_page_has_the_size_asked_for(paper: str, width: float, height: float) -> None:
    pages = reader(made(paper)).pages
    assert len(pages) >= 8
    for page in pages:
        assert float(page.mediabox.width) == pytest.approx(width, abs=0.01)
        assert float(page.mediabox.height) == pytest.approx(height, abs=0.01)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_typesetter_warns_of_nothing(paper: str) -> None:
    _, warnings = set_type("demonstration", demonstration(), paper, DRAWINGS, templates=HERE)
    assert warnings == ()


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_head_and_foot_stand_on_every_page(paper: str) -> None:
    pages = reader(made(paper)).pages
    digest = data_digest(demonstration(), DRAWINGS)[:16]
    for number, page in enumerate(pages, 1):
        text = flat(page.extract_text())
        assert "Harbour Engine Works" in text
        assert "Job J-0147" in text
        assert f"Page {number} of {len(pages)}" in text
        assert "Revision 3" in text
        assert f"Data SHA-256 {digest} · log head 9f3c51aa, entry 412" in text
        assert "2027-03-01" in text


def test_declares_what_it_conforms_to() -> None:
    document = reader(made())
    meta = document.trailer["/Root"]["/Metadata"].get_object().get_data().decode()
    # ISO 19005-2 level A and ISO 14289-1.
    assert "<pdfaid:part>2</pdfaid:part>" in meta
    assert "<pdfaid:conformance>A</pdfaid:conformance>" in meta
    assert "<pdfuaid:part>1</pdfuaid:part>" in meta
    root = document.trailer["/Root"]
    assert root["/Lang"] == "en-GB"
    assert root["/MarkInfo"]["/Marked"]
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert document.metadata.title == "Build record"
    assert document.metadata.author == "Harbour Engine Works"


def test_every_font_is_ours_and_embedded() -> None:
    found = fonts(made())
    names = {name.split("+")[-1] for name in found}
    assert {"NotoSans-Regular", "NotoSans-Bold"} <= names
    assert all(name.startswith("NotoSans") for name in names)
    for name, font in found.items():
        assert re.match(r"/[A-Z]{6}\+", name), f"{name} is not a subset"
        inner = font["/DescendantFonts"][0].get_object()
        assert "/FontFile2" in inner["/FontDescriptor"].get_object()
        # A map back to characters: without it text could not be selected or searched.
        assert "/ToUnicode" in font


def test_pictures_carry_their_words_and_keep_their_text() -> None:
    figures = [node for node in structure(made()) if node.get("/S") == "/Figure"]
    alts = [str(node["/Alt"]) for node in figures]
    assert len(alts) == len(DRAWINGS)
    assert any(alt.startswith("Engine seen from above. 5 cylinders, in line") for alt in alts)
    assert any("outside the limits" in alt for alt in alts)
    text = words(made())
    assert "Firing order 1–3–5–4–2" in text
    assert "FLYWHEEL END" in text


def test_tables_are_tagged_with_their_heads() -> None:
    kinds = [str(node.get("/S")) for node in structure(made())]
    assert kinds.count("/Table") == 2
    assert kinds.count("/TH") >= 6
    assert kinds.count("/TD") >= 300 * 6
    assert {"/H1", "/H2"} <= set(kinds)


def test_text_comes_in_reading_order() -> None:
    text = words(made())
    order = ["Typed *stars*", "WARNING", "CAUTION", "NOTICE", "To do by hand", "Caps numbered",
             "Drawing: engine", "Drawing: bore", "Least cost", "EUR 2 830 more", "Main journal 0",
             "Main journal 299", "Nothing recorded.", "Machinist", "Ines Moreau"]  # fmt: skip
    places = [text.index(part) for part in order]
    assert places == sorted(places)


def test_a_long_table_breaks_between_rows_and_repeats_its_head() -> None:
    pages = [flat(page.extract_text()) for page in reader(made()).pages]
    holding = [page for page in pages if re.search(r"Main journal \d+ 7\d\.\d{4} ", page)]
    assert len(holding) >= 5
    for page in holding:
        assert page.count("Reading mm") == 1
    seen = [int(n) for page in pages for n in re.findall(r"Main journal (\d+) 7\d\.\d{4} ", page)]
    assert seen == [k for k in range(300) if k not in (4, 5)]
    for k in (0, 123, 299):
        assert f"Main journal {k} {74.95 + k / 10_000:.4f} 74.95 –" in " ".join(pages)


def test_typed_text_is_printed_as_typed() -> None:
    text = words(made())
    assert MARKUP in text
    assert LATIN in text
    assert "‹U+" not in text
    assert LONG_NAME.replace(" ", "") in text.replace(" ", "")
    assert LONG_WORD in text.replace(" ", "")
    assert "123456789012345678901234567890" in text.replace(" ", "")


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_nothing_runs_into_the_margins(paper: str) -> None:
    """Every piece of text starts inside the margins and, by the font's own widths, ends there."""
    for page in reader(made(paper)).pages:
        wide, high = float(page.mediabox.width), float(page.mediabox.height)
        placed: list[tuple[str, float, float, float]] = []

        def visit(
            text: str, cm: list[float], tm: list[float], _font: Any, _size: float,
            placed: list[tuple[str, float, float, float]] = placed,
        ) -> None:  # fmt: skip
            if text.strip():
                x = tm[4] * cm[0] + tm[5] * cm[2] + cm[4]
                y = tm[4] * cm[1] + tm[5] * cm[3] + cm[5]
                placed.append((text, x, y, abs(cm[0])))

        page.extract_text(visitor_text=visit)
        assert len(placed) > 8
        for text, x, y, _ in placed:
            assert 18 * MM - 1 <= x <= wide - 18 * MM + 1, (text, x)
            assert 10 * MM <= y <= high - 10 * MM, (text, y)


def test_characters_without_a_glyph_are_printed_as_their_code() -> None:
    text = words(set_small(paragraphs=[FOREIGN]))
    assert "‹U+6E2C›‹U+91CF› and ‹U+0645›‹U+0642›‹U+0627›‹U+0633›" in text
    assert "Characters that the fonts of this document lack are printed as their code" in text
    assert "lack are printed" not in words(set_small(paragraphs=[LATIN]))


def test_marks_that_would_reorder_text_are_shown() -> None:
    assert "A‹U+202E›B‹U+0007›" in words(set_small(paragraphs=["A\u202eB\x07"]))


def test_drawings_are_made_printable_too() -> None:
    drawing = limit_of("測 <b>")
    document = render(
        "demonstration", small(pictures=["x"]), drawings={"x": drawing}, templates=HERE
    )
    assert "‹U+6E2C› <b>" in words(document)


def limit_of(name: str) -> str:
    from sparkout.drawings.limit_bar import LimitBar, limit_bars
    from sparkout.drawings.palette import Verdict

    return limit_bars((LimitBar(name, Verdict.NOT_MEASURED),))


@settings(max_examples=60, deadline=None)
@given(st.text(min_size=1, max_size=40))
def test_any_typed_text_can_be_set(text: str) -> None:
    document = set_small(paragraphs=[text], rows=[[text, text, 1, None, {"strong": text}, "x"]])
    assert len(reader(document).pages) == 1


def test_the_same_input_gives_the_same_bytes() -> None:
    again = render("demonstration", demonstration(), "a4", DRAWINGS, templates=HERE)
    assert again == made()


def test_another_process_in_another_place_gives_the_same_bytes() -> None:
    script = (
        "import sys, hashlib; sys.path.insert(0, sys.argv[1])\n"
        "from paper_samples import *\n"
        "from sparkout.report.paper import render\n"
        "made = render('demonstration', demonstration(), 'a4', DRAWINGS, templates=HERE)\n"
        "print(hashlib.sha256(made).hexdigest())"
    )
    import hashlib

    for seed, zone in (("1", "Pacific/Auckland"), ("2", "UTC")):
        run = subprocess.run(
            [sys.executable, "-c", script, str(HERE)],
            env={**os.environ, "PYTHONHASHSEED": seed, "TZ": zone, "SOURCE_DATE_EPOCH": "1"},
            capture_output=True,
            text=True,
            check=True,
        )
        assert run.stdout.strip() == hashlib.sha256(made()).hexdigest()


def test_a_changed_reading_changes_the_digest_in_the_foot() -> None:
    def digest(document: bytes) -> str:
        found = re.search(r"SHA-256 ([0-9a-f]{16})", words(document))
        assert found
        return found.group(1)

    one = set_small(rows=[["a", "1.000", 1, 2, "x", "y"]])
    two = set_small(rows=[["a", "1.001", 1, 2, "x", "y"]])
    assert digest(one) != digest(two)
    assert digest(one) == data_digest(small(rows=[["a", "1.000", 1, 2, "x", "y"]]), {})[:16]


def test_empty_lists_are_said_in_words() -> None:
    text = words(set_small())
    assert text.count("Nothing recorded.") == 2
    assert "No offers." in text


def test_cautions_say_signal_hazard_consequence_and_remedy() -> None:
    text = words(made())
    for signal in ("WARNING", "CAUTION", "NOTICE"):
        assert (
            f"{signal} Springs under load Collets can fly out and hurt an eye. • Use a compressor."
            in text
        )


def test_verdicts_print_their_words() -> None:
    counted = words(set_small(verdicts=["OK", "OUT", "CHECK", "NOT MEASURED", "STALE"]))
    assert "OK OUT CHECK NOT MEASURED STALE" in counted


def test_a_ticked_box_says_so_in_words() -> None:
    text = words(made())
    assert "Caps numbered (done)" in text
    assert "Galleries brushed (done)" not in text


def test_long_titles_and_names_are_held_to_one_line_in_the_head() -> None:
    data = small()
    data["frame"] = {
        **data["frame"],
        "shop": LONG_NAME * 3,
        "title": LONG_NAME * 3,
        "job": "J" * 99,
    }
    pages = reader(render("demonstration", data, templates=HERE)).pages
    head = flat(pages[0].extract_text())[:400]
    assert "…" in head
    assert "Page 1 of 1" in head


def test_a_tall_drawing_is_made_to_fit_its_page() -> None:
    bars = limit_of("one")
    tall = bars.replace(re.search(r'viewBox="0 0 (\S+) (\S+)"', bars).group(0),
                        'viewBox="0 0 720 4000"')  # fmt: skip
    document = render("demonstration", small(pictures=["x"]), drawings={"x": tall}, templates=HERE)
    pages = [flat(page.extract_text()) for page in reader(document).pages]
    assert any("Drawing: x" in page and "one" in page for page in pages)


@pytest.mark.parametrize(
    ("change", "words_"),
    [
        ({"paper": "a5"}, "paper is 'a5'; it must be one of a4, letter"),
        ({"template_name": "nothing"}, "no template 'nothing'; there are: demonstration"),
        ({"template_name": "../press"}, "template name '../press'"),
        ({"data": {}}, "no 'frame' with shop, job, title, revision, date"),
        ({"data": demonstration(date="1 March")}, "frame.date is '1 March'; it must be a date"),
        ({"data": {"frame": {"shop": 3}}}, "frame.shop is 3; it must be text"),
        ({"data": small(rows=[[float("nan")]])}, "Out of range float values"),
        ({"drawings": {"x": "<svg/>"}}, "drawing 'x' has no viewBox"),
        ({"drawings": {"x": '<svg viewBox="0 0 1 1"/>'}}, "neither title nor description"),
    ],
)
def test_wrong_input_is_named(change: dict[str, Any], words_: str) -> None:
    arguments = {"template_name": "demonstration", "data": small(), "templates": HERE, **change}
    with pytest.raises(ValueError, match=re.escape(words_)):
        render(**arguments)


@pytest.mark.parametrize(
    ("change", "words_"),
    [
        ({"pictures": ["gone"]}, "no drawing named"),
        ({"verdicts": ["FINE"]}, "no verdict"),
        ({"cautions": [{"signal": "PERIL", "hazard": "", "consequence": "", "avoid": []}]},
         "no signal word"),
        ({"rows": [[{"colour": 1}]]}, "a table cell cannot show"),
    ],
)  # fmt: skip
def test_a_template_that_asks_for_what_is_not_there_is_stopped(
    change: dict[str, Any], words_: str
) -> None:
    with pytest.raises(PaperError, match=words_):
        set_small(**change)


def test_pages_follow_each_other() -> None:
    numbers = [
        int(re.search(r"Page (\d+) of", flat(page.extract_text())).group(1))
        for page in reader(made()).pages
    ]
    assert all(b == a + 1 for a, b in pairwise(numbers))
