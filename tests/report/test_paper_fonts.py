"""The bundled fonts: what they cover, how wide they are, and their licence."""

from __future__ import annotations

import hashlib
import shutil
import struct
from pathlib import Path

import pytest

from sparkout.drawings.text import width
from sparkout.report.paper.glyphs import FONTS, covered, printable


def table(font: bytes, wanted: bytes) -> bytes:
    (count,) = struct.unpack_from(">H", font, 4)
    for k in range(count):
        tag, _, offset, length = struct.unpack_from(">4sIII", font, 12 + 16 * k)
        if tag == wanted:
            return font[offset : offset + length]
    raise AssertionError(f"no table {wanted!r}")


def glyph_ids(font: bytes) -> dict[int, int]:
    """Character to glyph by the format 4 map, read here on its own to check the other reader."""
    cmap = table(font, b"cmap")
    (count,) = struct.unpack_from(">H", cmap, 2)
    for k in range(count):
        _, _, offset = struct.unpack_from(">HHI", cmap, 4 + 8 * k)
        sub = cmap[offset:]
        if struct.unpack_from(">H", sub, 0)[0] != 4:
            continue
        n = struct.unpack_from(">H", sub, 6)[0] // 2
        found = {}
        for i in range(n):
            end = struct.unpack_from(">H", sub, 14 + 2 * i)[0]
            start = struct.unpack_from(">H", sub, 16 + 2 * n + 2 * i)[0]
            delta = struct.unpack_from(">H", sub, 16 + 4 * n + 2 * i)[0]
            at = 16 + 6 * n + 2 * i
            reach = struct.unpack_from(">H", sub, at)[0]
            for code in range(start, min(end, 0xFFFE) + 1):
                if reach:
                    glyph = struct.unpack_from(">H", sub, at + reach + 2 * (code - start))[0]
                    glyph = (glyph + delta) % 65536 if glyph else 0
                else:
                    glyph = (code + delta) % 65536
                if glyph:
                    found[code] = glyph
        return found
    raise AssertionError("no format 4 map")


def advances(name: str) -> dict[int, float]:
    """Advance width of each character in thousandths of the size."""
    font = (FONTS / name).read_bytes()
    (units,) = struct.unpack_from(">H", table(font, b"head"), 18)
    (count,) = struct.unpack_from(">H", table(font, b"hhea"), 34)
    hmtx = table(font, b"hmtx")
    return {
        code: struct.unpack_from(">H", hmtx, 4 * min(glyph, count - 1))[0] * 1000 / units
        for code, glyph in glyph_ids(font).items()
    }


@pytest.mark.parametrize(
    ("name", "bold"), [("NotoSans-Regular.ttf", False), ("NotoSans-Bold.ttf", True)]
)
def test_estimated_widths_are_those_of_the_font(name: str, bold: bool) -> None:
    real = advances(name)
    for code in range(32, 127):
        # 1.12 is the allowance for wider faces on screens.
        assert width(chr(code), 1000, bold) == pytest.approx(real[code] * 1.12, abs=0.6), chr(code)


def test_estimates_of_other_letters_are_on_the_safe_side() -> None:
    real = advances("NotoSans-Bold.ttf")
    for char in "äöüßéñøåæçğşłžαβΔΩДжЩыюяąęệữ−×±µ°²³·–—…“”‹›€£":
        assert width(char, 1000, True) >= real[ord(char)], char


def test_figures_and_signs_are_equally_wide() -> None:
    real = advances("NotoSans-Regular.ttf")
    assert len({real[ord(char)] for char in "0123456789+−"}) == 1
    bold = advances("NotoSans-Bold.ttf")
    assert len({bold[ord(char)] for char in "0123456789"}) == 1


def test_both_readers_of_the_character_map_agree() -> None:
    for path in FONTS.glob("*.ttf"):
        own = glyph_ids(path.read_bytes())
        here = {code for code in covered(FONTS) if code <= 0xFFFF}
        assert set(own) <= here, path.name
    together = set().union(*(glyph_ids(path.read_bytes()) for path in FONTS.glob("*.ttf")))
    assert {code for code in covered(FONTS) if code < 0xFFFF} == together


def test_the_words_of_the_trade_can_be_printed() -> None:
    text = "±0.02 ≤ ≥ ≈ − × · µm Ø⌀ ° → ← ↑ ↓ ✓ ✗ ☐ ☑ √ ∞ Δ α β φ Σ ½ ⁻³ ▲ ▼ ■ □ ‹ › … €"
    assert printable(text) == (text, False)


def test_what_cannot_be_printed_is_shown_by_code_and_nothing_is_lost() -> None:
    assert printable("a測b") == ("a‹U+6E2C›b", True)
    assert printable("😀") == ("‹U+1F600›", True)
    assert printable("\ud800") == ("‹U+D800›", True)
    assert printable("one\r\ntwo\rthree") == ("one\ntwo\nthree", False)
    assert printable("‹U+6E2C›") == ("‹U+6E2C›", False)


def test_a_further_font_folder_adds_its_characters(tmp_path: Path) -> None:
    shutil.copy(FONTS / "NotoSansSymbols2-Subset.ttf", tmp_path)
    assert ord("✓") in covered(tmp_path)
    assert ord("A") not in covered(tmp_path)
    assert printable("A✓", (tmp_path,)) == ("‹U+0041›✓", True)
    (tmp_path / "notes.txt").write_text("not a font")
    assert printable("✓é", (tmp_path, FONTS)) == ("✓é", False)


def test_licence_and_origin_go_along() -> None:
    licence = (FONTS / "OFL.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence
    origin = (FONTS / "FONTS.txt").read_text(encoding="utf-8")
    for path in FONTS.glob("*.ttf"):
        assert path.name in licence
        assert f"{hashlib.sha256(path.read_bytes()).hexdigest()}  {path.name}" in origin
