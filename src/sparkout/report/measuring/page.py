"""A picture on a page of its own size as PDF, for printing or sending on."""

from __future__ import annotations

import json
import re
from html import unescape

from sparkout.report.paper.glyphs import FONTS, printable

__all__ = ["picture_page"]

# One document: the page is the picture with a margin. The SVG comes in as data, never as markup.
_PAGE = """
#let given = json(bytes(sys.inputs.document))
#set document(title: given.title, date: none)
#set page(width: given.width * 1pt + 16mm, height: given.height * 1pt + 16mm, margin: 8mm)
#set text(font: ("Noto Sans",), lang: "en", region: "GB")
#image(bytes(given.svg), format: "svg", width: 100%, alt: given.alt)
"""


def picture_page(svg: str) -> bytes:
    """The picture as PDF with its words for those who cannot see it; same picture, same bytes.

    Raises ValueError for a drawing without a size or a name.
    """
    import typst

    size = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg)
    words = [
        unescape(found.group(1)).strip()
        for tag in ("title", "desc")
        if (found := re.search(rf"<{tag}>(.*?)</{tag}>", svg, re.DOTALL))
    ]
    if size is None or not words:
        raise ValueError("a picture needs a viewBox that starts at 0 0 and a title")
    title, _ = printable(words[0], (FONTS,))
    alt, _ = printable(". ".join(words), (FONTS,))
    made, _ = printable(svg, (FONTS,))
    given = {
        "title": title,
        "alt": alt,
        "svg": made,
        "width": float(size.group(1)),
        "height": float(size.group(2)),
    }
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
        raise ValueError("the picture gave no single page")
    return made_pdf
