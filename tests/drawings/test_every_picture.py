"""What holds for every picture, whatever goes in."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from functools import cache
from typing import NamedTuple

import pytest
from drawing_samples import EVERY, ODD, USUAL

from sparkout.drawings.palette import Verdict
from sparkout.drawings.text import width

SVG = "{http://www.w3.org/2000/svg}"
ALLOWED = {"svg", "title", "desc", "text", "rect", "line", "circle", "ellipse", "polygon",
           "polyline", "path"}  # fmt: skip


class Box(NamedTuple):
    text: str
    x1: float
    y1: float
    x2: float
    y2: float


def text_boxes(root: ET.Element) -> list[Box]:
    """The box of every text on the page, from the estimated width; upright ones are turned."""
    boxes = []
    for node in root.iter(f"{SVG}text"):
        words = "".join(node.itertext())
        size = float(node.attrib["font-size"])
        wide = width(words, size, node.get("font-weight") == "700")
        x, base = float(node.attrib["x"]), float(node.attrib["y"])
        middle = base - 0.36 * size
        anchor = node.get("text-anchor", "start")
        left = x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor]
        half = size * 0.5
        turn = node.get("transform")
        if turn is None:
            boxes.append(Box(words, left, middle - half, left + wide, middle + half))
            continue
        angle, px, py = map(float, re.fullmatch(r"rotate\((\S+) (\S+) (\S+)\)", turn).groups())
        assert abs(angle) == 90
        assert (px, py) == pytest.approx((x, middle), abs=0.02)
        along = (left - x, left + wide - x)
        ends = sorted(py + (a if angle > 0 else -a) for a in along)
        boxes.append(Box(words, px - half, ends[0], px + half, ends[1]))
    return boxes


def size_of(root: ET.Element) -> tuple[float, float]:
    _, _, wide, high = map(float, root.attrib["viewBox"].split())
    return wide, high


@cache
def drawn(name: str) -> str:
    return EVERY[name]()


@pytest.mark.parametrize("name", EVERY)
def test_is_well_formed_and_carries_its_own_words(name: str) -> None:
    root = ET.fromstring(drawn(name))
    assert root.tag == f"{SVG}svg"
    assert root.get("role") == "img"
    assert [child.tag for child in root][:2] == [f"{SVG}title", f"{SVG}desc"]
    assert root.find(f"{SVG}title").text
    assert root.find(f"{SVG}desc").text
    for node in root.iter():
        assert node.tag.removeprefix(SVG) in ALLOWED
        for key, value in node.attrib.items():
            assert key not in {"id", "href", "style", "class"}
            assert not key.startswith("on")
            assert "url(" not in value


@pytest.mark.parametrize("name", EVERY)
def test_every_number_is_one(name: str) -> None:
    root = ET.fromstring(drawn(name))
    wide, high = size_of(root)
    assert 0 < wide <= 800
    assert 0 < high <= 6000
    for node in root.iter():
        for key, value in node.attrib.items():
            assert not re.search(r"nan|inf", value, re.IGNORECASE), (key, value)
            if key in {"x", "cx", "x1", "x2"}:
                assert -60 <= float(value) <= wide + 60, (node.tag, key, value)
            elif key in {"y", "cy", "y1", "y2"}:
                assert -60 <= float(value) <= high + 60, (node.tag, key, value)
            elif key in {"width", "height", "r", "rx", "ry", "stroke-width", "font-size"}:
                assert float(value) >= 0, (node.tag, key, value)
            elif key in {"points", "d"}:
                for number in re.findall(r"-?\d+(?:\.\d+)?", value):
                    assert abs(float(number)) <= 6200, (node.tag, key, number)


@pytest.mark.parametrize("name", EVERY)
def test_no_text_runs_out_of_the_picture(name: str) -> None:
    root = ET.fromstring(drawn(name))
    wide, high = size_of(root)
    for box in text_boxes(root):
        assert box.x1 >= -0.5, box
        assert box.x2 <= wide + 0.5, box
        assert box.y1 >= -0.5, box
        assert box.y2 <= high + 0.5, box


@pytest.mark.parametrize("name", USUAL)
def test_words_do_not_lie_on_each_other(name: str) -> None:
    boxes = text_boxes(ET.fromstring(USUAL[name]()))
    for k, one in enumerate(boxes):
        for two in boxes[k + 1 :]:
            # Estimated widths carry slack for wider faces; half of it may overlap, and lines may
            # touch by the air above and below their letters.
            across = min(one.x2, two.x2) - max(one.x1, two.x1)
            down = min(one.y2, two.y2) - max(one.y1, two.y1)
            assert across <= 3 or down <= 3, (one, two)


@pytest.mark.parametrize("name", USUAL)
def test_letters_are_large_enough(name: str) -> None:
    # 9 units of 720 across 174 mm of paper are 6.2 points.
    for node in ET.fromstring(USUAL[name]()).iter(f"{SVG}text"):
        assert float(node.attrib["font-size"]) >= 8.9, "".join(node.itertext())


@pytest.mark.parametrize("name", EVERY)
def test_the_same_record_gives_the_same_bytes(name: str) -> None:
    assert EVERY[name]() == drawn(name)


@pytest.mark.parametrize("name", [name for name in EVERY if name.startswith("odd characters")])
def test_typed_text_is_shown_and_never_markup(name: str) -> None:
    root = ET.fromstring(drawn(name))
    words = root.find(f"{SVG}title").text + root.find(f"{SVG}desc").text
    assert "<b>" in words
    assert ODD[0] in words
    assert root.find(f".//{SVG}b") is None


@pytest.mark.parametrize("name", USUAL)
def test_verdicts_in_colour_also_stand_as_words(name: str) -> None:
    """A picture that fills shapes with verdict colours shows the words for them too."""
    picture = USUAL[name]()
    root = ET.fromstring(picture)
    words = {"".join(node.itertext()) for node in root.iter(f"{SVG}text")}
    said = root.find(f"{SVG}desc").text
    for verdict in (Verdict.OUT, Verdict.NOT_MEASURED, Verdict.STALE):
        if re.search(rf"\b{verdict.value}\b", said):
            assert verdict.value in words
