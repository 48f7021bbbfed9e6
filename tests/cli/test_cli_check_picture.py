"""sparkout check --picture: what is out or in doubt as bars against its limits."""

from __future__ import annotations

import io
import json
import re
import xml.etree.ElementTree as ET

import pypdf
import pytest

from sparkout.cli.jobargs import demo_folder
from sparkout.cli.main import run
from sparkout.drawings.limit_bar import LimitBar, limit_bars
from sparkout.drawings.palette import Verdict


def drawn(tmp_path, *words):
    path = tmp_path / "limits.svg"
    assert run(["check", *words, "--picture", str(path)]) in (0, 1)
    return path.read_text(encoding="utf-8")


def words_in(svg):
    return [node.text or "" for node in ET.fromstring(svg).iter() if node.tag.endswith("text")]


def test_each_length_out_of_limits_has_a_bar(tmp_path, capsys):
    """The same features as the list in --json, less those that are no lengths."""
    folder = str(demo_folder("farm_single"))
    svg = drawn(tmp_path, folder)
    told = capsys.readouterr().err
    assert run(["check", folder, "--json"]) == 1
    rows = json.loads(capsys.readouterr().out)["findings"]
    bad = {
        f"{row['feature']}: {row['limit']}"
        for row in rows
        if row["verdict"] in ("out", "not proven", "stale")
    }
    desc = re.search(r"<desc>(.*?)</desc>", svg, re.DOTALL)[1]
    missing = {name for name in bad if f"{name}: " not in desc}
    assert len(bad) - len(missing) >= 5
    assert f"not drawn: {len(missing)} that are no lengths" in told


def test_all_draws_what_is_within_too(tmp_path):
    some = words_in(drawn(tmp_path, str(demo_folder("farm_single"))))
    every = words_in(drawn(tmp_path, str(demo_folder("farm_single")), "--all"))
    assert "OK" not in some
    assert every.count("OK") >= 5


def test_a_pdf_has_a_few_bars_on_each_page(tmp_path):
    path = tmp_path / "limits.pdf"
    assert run(["check", str(demo_folder("workboat_four")), "--picture", str(path)]) == 1
    pages = pypdf.PdfReader(io.BytesIO(path.read_bytes())).pages
    assert len(pages) > 2
    assert all(page.mediabox.height < 1400 for page in pages)


def test_another_kind_of_file_is_refused(tmp_path, capsys):
    path = tmp_path / "limits.png"
    assert run(["check", str(demo_folder("farm_single")), "--picture", str(path)]) == 2
    assert "a file that ends in .svg or .pdf" in capsys.readouterr().err
    assert not path.exists()


def test_a_doubt_is_never_shown_as_nought():
    svg = limit_bars((LimitBar("step", Verdict.OUT, 0.05, expanded=0.0041, decimals=2),))
    assert "0.05 ±0.004 mm" in words_in(svg)


def test_a_limit_that_is_the_same_new_and_in_service_is_said_once():
    ends = (None, 0.05)
    svg = limit_bars((LimitBar("runout", Verdict.OK, 0.01, new=ends, service=ends, decimals=2),))
    assert [text for text in words_in(svg) if "0.05" in text] == ["new and service 0.05"]


@pytest.mark.parametrize("value", [0.15, 0.021])
def test_a_limit_that_stands_alone_has_room_about_it(value):
    """Not hatched all over: the guard band takes less than a third of what is allowed."""
    bar = LimitBar("score", Verdict.OUT, value, expanded=0.006, service=(None, 0.02),
                   judged="service", guard=0.005, decimals=2)  # fmt: skip
    root = ET.fromstring(limit_bars((bar,)))
    hatched = next(node.attrib["d"] for node in root.iter() if node.tag.endswith("path"))
    at = [float(x) for x in re.findall(r"[ML]([\d.]+) ", hatched)]
    left_edge = 196.0
    assert max(at) - min(at) < 0.3 * (max(at) - left_edge)


def test_nothing_out_says_so():
    svg = limit_bars((), "Engine", "No length is out of limits or in doubt")
    assert words_in(svg) == ["No length is out of limits or in doubt"]
