"""The three papers as PDF, read back: every figure, page sizes, fonts, glyphs, the same bytes."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from job_samples import (
    FOREIGN,
    LONG_WORD,
    cautions,
    copied,
    huge,
    papers_of,
    shipped,
    source_in,
    wordy,
    worked_on,
)
from paper_samples import flat, fonts, reader, structure, words

from sparkout.engine.dimension import Key
from sparkout.judge.finding import Verdict
from sparkout.plan.decide import Plan
from sparkout.plan.order import order_of_work
from sparkout.price.quote import quote
from sparkout.report.documents.source import Document, Source
from sparkout.report.documents.work import work_sheet
from sparkout.report.grouping import minus
from sparkout.report.paper.press import data_digest, set_type
from sparkout.setups.all_steps import set_ups
from sparkout.setups.words import Said

ENGINES = ("workboat_four", "road_eight", "farm_single")
PAPERS = ("findings", "work", "record")
EVERY = [(engine, paper) for engine in ENGINES for paper in PAPERS]


@cache
def document(engine: str, paper: str) -> Document:
    return papers_of(shipped(engine))[paper]


@cache
def printed(engine: str, paper: str, size: str = "a4") -> bytes:
    made = document(engine, paper)
    content, warnings = set_type(made.template, made.data, size, made.drawings)
    assert warnings == ()
    return content


@cache
def pages_of(engine: str, paper: str, size: str = "a4") -> tuple[str, ...]:
    return texts(printed(engine, paper, size))


def texts(content: bytes) -> tuple[str, ...]:
    """Text of each page, line breaks as spaces."""
    return tuple(flat(page.extract_text()) for page in reader(content).pages)


@cache
def text_of(engine: str, paper: str) -> str:
    return flat("\n".join(pages_of(engine, paper)))


def body(pages: Iterable[str]) -> str:
    """All text without spaces, and without the head and foot that stand between two pages."""
    inner = []
    for page in pages:
        text = re.split(r"Page \d+ of \d+", page, maxsplit=1)[1]
        inner.append(text.rpartition("Revision ")[0])
    return "".join(inner).replace(" ", "")


def strings(value: Any) -> Iterator[str]:
    """Every text of a document's data, without the head and the hashes, which are cut or spaced."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for key, part in value.items():
            if key not in ("frame", "digest", "sheet", "shop", "heads", "pictures", "signal"):
                yield from strings(part)
    elif isinstance(value, list | tuple):
        for part in value:
            yield from strings(part)


@pytest.mark.parametrize(("engine", "paper"), EVERY)
def test_every_text_with_a_figure_is_in_the_pdf_as_it_stands(engine: str, paper: str) -> None:
    text = body(pages_of(engine, paper))
    told = [flat(item).strip() for item in strings(document(engine, paper).data)]
    with_figures = {item for item in told if any(char.isdigit() for char in item)}
    assert len(with_figures) > 40
    assert sorted(item for item in with_figures if item.replace(" ", "") not in text) == []


def test_figures_found_are_those_of_the_readings() -> None:
    text = text_of("workboat_four", "findings")
    job = shipped("workboat_four").job
    for finding in job.findings:
        if finding.verdict is not Verdict.OUT or finding.check.instance.inner:
            continue
        value = job.state.sizes.get(finding.key)
        if value is None or "between" in finding.reason or finding.high is None:
            continue
        assert finding.low is not None
        decimals = len(job.words.value(finding.high.value, finding.check.limit.characteristic)
                       .split()[0].partition(".")[2])  # fmt: skip
        ends = {f"{float(abs(e.value)):.{decimals}f}" for e in (finding.low, finding.high)}
        assert "failed" in finding.reason or any(end in text for end in ends), finding.reason


def test_bore_readings_stand_in_the_picture_to_the_micrometre() -> None:
    text = text_of("workboat_four", "findings")
    for spot in shipped("workboat_four").job.located.spots:
        if spot.key.characteristic == "bore diameter" and spot.phase == "found":
            assert f"+{round(float(spot.estimate.value - 100) * 1000)}" in text


@pytest.mark.parametrize("engine", ENGINES)
def test_the_price_is_that_of_the_quote(engine: str) -> None:
    source = shipped(engine)
    assert isinstance(source.plan, Plan)
    price = quote(source.plan.chosen, source.job.shop)
    text = text_of(engine, "findings")
    for cents in (price.firm, price.contingency, price.tax, price.total,
                  *(line.amount for line in price.lines)):  # fmt: skip
        assert f"{cents // 100}.{cents % 100:02d} {price.currency}" in text


@pytest.mark.parametrize("engine", ENGINES)
def test_the_work_sheet_prints_every_set_up_number(engine: str) -> None:
    source = shipped(engine)
    assert isinstance(source.plan, Plan)
    steps = order_of_work(source.plan.chosen, source.job.shop)
    said = Said(source.job.shop.units)
    text = text_of(engine, "work")
    for item in set_ups(source.job, source.plan, steps, None, cautions()):
        for number in item.numbers:
            assert minus(said.number(number)) in text
            behind = minus(said.sum(number))
            assert behind in text


def test_as_found_readings_are_in_the_record() -> None:
    text = text_of("workboat_four", "record")
    job = shipped("workboat_four").job
    for key in (Key("rod journal 3", "rod journal diameter"), Key("bore 2", "bore diameter")):
        for spot in job.state.spots[key]:
            assert f"{spot.place} {float(spot.estimate.value):.3f}" in text


@pytest.mark.parametrize(("engine", "paper"), EVERY)
@pytest.mark.parametrize("size", ["a4", "letter"])
def test_pages_have_their_size_head_and_foot(engine: str, paper: str, size: str) -> None:
    made = document(engine, paper)
    pages = reader(printed(engine, paper, size)).pages
    told = pages_of(engine, paper, size)
    wide, high = (210 * 72 / 25.4, 297 * 72 / 25.4) if size == "a4" else (612, 792)
    digest = data_digest(made.data, made.drawings)[:16]
    for number, page in enumerate(pages, 1):
        assert float(page.mediabox.width) == pytest.approx(wide, abs=0.01)
        assert float(page.mediabox.height) == pytest.approx(high, abs=0.01)
        text = told[number - 1]
        assert f"Page {number} of {len(pages)}" in text
        assert f"Data SHA-256 {digest}" in text
        assert "2026-11-16" in text


@pytest.mark.parametrize("size", ["a4", "letter"])
@pytest.mark.parametrize(("engine", "most"), [("workboat_four", 4), ("farm_single", 2)])
def test_findings_are_short_with_the_long_table_behind(engine: str, most: int, size: str) -> None:
    pages = pages_of(engine, "findings", size)
    start = next(k for k, text in enumerate(pages) if "Everything that was judged" in text)
    assert start <= most
    assert "Your approval" in pages[start - 1]
    assert "In short" in pages[0]
    assert "What matters most" in pages[0]


@pytest.mark.parametrize(("engine", "paper"), EVERY)
def test_fonts_are_ours_and_embedded(engine: str, paper: str) -> None:
    found = fonts(printed(engine, paper))
    assert found
    for name, font in found.items():
        assert re.match(r"/[A-Z]{6}\+NotoSans", name)
        inner = font["/DescendantFonts"][0].get_object()
        assert "/FontFile2" in inner["/FontDescriptor"].get_object()
        assert "/ToUnicode" in font


@pytest.mark.parametrize(("engine", "paper"), EVERY)
def test_no_glyph_is_missing(engine: str, paper: str) -> None:
    text = text_of(engine, paper)
    assert "\ufffd" not in text
    assert "‹U+" not in text
    assert "Characters that the fonts of this document lack" not in text


@pytest.mark.parametrize("paper", PAPERS)
def test_headings_step_down_one_at_a_time(paper: str) -> None:
    levels = [
        int(str(node["/S"])[2:])
        for node in structure(printed("workboat_four", paper))
        if re.fullmatch(r"/H\d", str(node.get("/S")))
    ]
    assert levels[0] == 1
    assert all(later <= level + 1 for level, later in pairwise(levels))


@pytest.mark.parametrize("paper", PAPERS)
def test_the_digest_and_the_heads_of_the_log_are_printed(paper: str) -> None:
    source = shipped("workboat_four")
    text = text_of("workboat_four", paper).replace(" ", "")
    assert source.digest() in text
    for head in source.heads():
        assert head.hash in text
    assert source.digest()[:16] in text


def test_the_same_job_gives_the_same_bytes() -> None:
    code = (
        "import hashlib, sys\n"
        f"sys.path.insert(0, {str(Path(__file__).parent)!r})\n"
        "from job_samples import papers_of, shipped\n"
        "from sparkout.report.paper import render\n"
        "for name, made in papers_of(shipped('farm_single')).items():\n"
        "    content = render(made.template, made.data, 'a4', made.drawings)\n"
        "    print(name, hashlib.sha256(content).hexdigest())\n"
    )
    runs = {
        subprocess.run(
            [sys.executable, "-c", code],
            capture_output=True,
            text=True,
            check=True,
            env={"PYTHONHASHSEED": seed, "TZ": zone, "PATH": ""},
        ).stdout
        for seed, zone in (("1", "UTC"), ("2", "Pacific/Auckland"))
    }
    assert len(runs) == 1
    import hashlib

    here = "".join(
        f"{name} {hashlib.sha256(printed('farm_single', name)).hexdigest()}\n" for name in PAPERS
    )
    assert runs == {here}


def all_of(source: Source) -> dict[str, tuple[bytes, str]]:
    made = {}
    for name, item in papers_of(source).items():
        content, warnings = set_type(item.template, item.data, "letter", item.drawings)
        assert warnings == ()
        made[name] = (content, words(content))
    return made


@pytest.mark.parametrize("engine", ["farm_single", "workboat_four"])
def test_a_job_without_a_log_prints(tmp_path: Path, engine: str) -> None:
    source = source_in(copied(tmp_path, engine, log=False))
    papers = all_of(source)
    assert "there is no offer" in papers["findings"][1]
    assert "Your approval" not in papers["findings"][1]
    assert "The log has no entries: nothing was measured" in papers["record"][1]
    for _, text in papers.values():
        assert "2027-03-01" in text
        assert "The log has no entries yet." in text


def test_a_thousand_readings_print(tmp_path: Path) -> None:
    source = source_in(huge(tmp_path))
    assert len(source.entries) > 1000
    papers = all_of(source)
    assert len(reader(papers["record"][0]).pages) < 40
    row = papers["record"][1]
    for spot in source.job.state.spots[Key("bore 4", "bore diameter")]:
        assert f"{spot.place} {float(spot.estimate.value):.3f}" in row


def test_long_words_and_foreign_letters_stay_on_the_page(tmp_path: Path) -> None:
    source = source_in(wordy(tmp_path))
    papers = all_of(source)
    shown = FOREIGN.replace("測", "‹U+6E2C›").replace("量", "‹U+91CF›")
    for name, (content, text) in papers.items():
        assert LONG_WORD in text.replace(" ", ""), name
        assert shown.replace(" ", "") in text.replace(" ", ""), name
        assert "Nothing is left out." in text
        assert _rightmost(content) <= 612 - 18 * 72 / 25.4 + 1
    assert "*runs*#rough$at$`idle`<b>hot</b>" in body(texts(papers["findings"][0]))


def _rightmost(content: bytes) -> float:
    """Where the rightmost piece of text starts, pictures included."""
    most = 0.0

    def visit(text: str, matrix: list[float], place: list[float], *_: Any) -> None:
        nonlocal most
        if text.strip():
            most = max(most, place[4] * matrix[0] + matrix[4])

    for page in reader(content).pages:
        page.extract_text(visitor_text=visit)
    assert most > 300
    return most


def test_a_job_in_work_prints_what_was_done(tmp_path: Path) -> None:
    papers = all_of(source_in(worked_on(tmp_path)))
    record = papers["record"][1]
    for text in ("coarse stones only; plateau brush is worn", "waived: Ines, 2027-03-01",
                 "72.503", "P. Farmer", "figures swapped", "ab" * 8):  # fmt: skip
        assert text in record
    assert "DRAFT" in record
    assert "new exhaust valve" in papers["findings"][1]


def test_dangerous_work_says_so_beside_the_work() -> None:
    text = text_of("workboat_four", "work")
    assert "WARNING A wheel bursts" in text
    assert text.count("WARNING") >= 10
    assert "Stop and look" in text
    assert "Before the spindle starts" in text


def test_danger_is_printed_where_the_shop_s_cautions_say_so() -> None:
    source = shipped("farm_single")
    grave = replace(cautions()[0], signal_word="DANGER", operations=("hone",), hazard="It bursts.")
    made = work_sheet(source, (grave,))
    content, _ = set_type(made.template, made.data, "a4", made.drawings)
    assert "DANGER It bursts." in words(content)
