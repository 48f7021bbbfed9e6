"""A picture on a page of its own size as PDF, for printing or sending on."""

from __future__ import annotations

import json
import re
from html import unescape

from sparkout.report.paper.glyphs import FONTS, printable

__all__ = ["picture_page"]

# Each page is its picture with a margin. The SVG comes in as data, never as markup.
_PAGE = """
#let given = json(bytes(sys.inputs.document))
#set document(title: given.title, date: none)
#set text(font: ("Noto Sans",), lang: "en", region: "GB")
#for drawn in given.pictures {
  page(width: drawn.width * 1pt + 16mm, height: drawn.height * 1pt + 16mm, margin: 8mm,
    image(bytes(drawn.svg), format: "svg", width: 100%, alt: drawn.alt))
}
"""


def picture_page(*pictures: str) -> bytes:
    """Pictures as PDF, each on a page of its size with its words for those who cannot see it; same
    pictures, same bytes.

    Raises ValueError for a drawing without a size or a name.
    """
    import typst

    title, _ = printable(_words(pictures[0])[0], (FONTS,))
    given = {"title": title, "pictures": [_given(svg) for svg in pictures]}
    compiler = typst.Compiler(
        font_paths=typst.Fonts(
            include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(FONTS)]
        )
    )
    made_pdf = compiler.compile(
        input=_PAGE.encode(),
        format="pdf",
        sys_inputs={"document": json.dumps(given, ensure_ascii=False)},
        pdf_standards=["ua-1"],
    )
    if not isinstance(made_pdf, bytes):
        raise ValueError("the pictures gave no single file")
    return made_pdf


def _given(svg: str) -> dict[str, str | float]:
    size = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg)
    if size is None:
        raise ValueError("a picture needs a viewBox that starts at 0 0")
    alt, _ = printable(". ".join(_words(svg)), (FONTS,))
    made, _ = printable(svg, (FONTS,))
    return {"svg": made, "alt": alt, "width": float(size[1]), "height": float(size[2])}


def _words(svg: str) -> list[str]:
    """Title and description of a picture."""
    found = (re.search(rf"<{tag}>(.*?)</{tag}>", svg, re.DOTALL) for tag in ("title", "desc"))
    words = [unescape(item.group(1)).strip() for item in found if item]
    if not words:
        raise ValueError("a picture needs a title")
    return words
