"""From data and drawings to the bytes of a PDF.

A typesetter is kept between the documents of a thread, reads nothing but the templates and the
bundled fonts, and gets the data as JSON: typed text is never read as markup. The result is PDF/A-2a
(for keeping) and PDF/UA-1 (for screen readers) at once.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Mapping
from datetime import date
from html import unescape
from pathlib import Path
from threading import local
from typing import TYPE_CHECKING, Any

from sparkout.report.paper.glyphs import FONTS, printable

if TYPE_CHECKING:
    from typst import Compiler

__all__ = ["SIZES", "TEMPLATES", "PaperError", "data_digest", "render", "set_type"]

TEMPLATES = Path(__file__).parent / "templates"
SIZES = ("a4", "letter")

_FRAME = ("shop", "job", "title", "revision", "date")


class PaperError(RuntimeError):
    """A document could not be set: the template's fault or ours, with what the typesetter said."""


class _Press:
    """A typesetter with its fonts read; for one thread."""

    def __init__(self, font_folders: tuple[Path, ...]) -> None:
        import typst

        fonts = typst.Fonts(
            include_system_fonts=False,
            include_embedded_fonts=False,
            font_paths=[str(folder) for folder in font_folders],
        )
        self._compiler: Compiler = typst.Compiler(root=str(TEMPLATES), font_paths=fonts)
        self._failed = typst.TypstError

    def set(self, template: str, inputs: dict[str, str]) -> tuple[bytes, tuple[str, ...]]:
        try:
            made, warnings = self._compiler.compile_with_warnings(
                input=template.encode(),
                format="pdf",
                sys_inputs=inputs,
                pdf_standards=["a-2a", "ua-1"],
            )
        except self._failed as failed:
            raise PaperError(f"the document could not be set: {failed}") from failed
        if not isinstance(made, bytes):
            raise PaperError("the typesetter gave no single document")
        return made, tuple(str(warning) for warning in warnings)


class _Own(local):
    """The typesetters of one thread: documents made at the same time do not wait for each other."""

    def __init__(self) -> None:
        self.presses: dict[tuple[Path, ...], _Press] = {}


_OWN = _Own()


def _press(font_folders: tuple[Path, ...]) -> _Press:
    known = _OWN.presses.get(font_folders)
    if known is None:
        known = _OWN.presses[font_folders] = _Press(font_folders)
    return known


def data_digest(data: Mapping[str, Any], drawings: Mapping[str, str]) -> str:
    """SHA-256 of what a document is made from: its data and its drawings, in one fixed spelling."""
    text = json.dumps(
        {"data": data, "drawings": dict(drawings)},
        sort_keys=True,
        ensure_ascii=True,
        separators=(",", ":"),
        allow_nan=False,
    )
    return hashlib.sha256(text.encode()).hexdigest()


def _checked_frame(data: Mapping[str, Any]) -> Mapping[str, Any]:
    frame = data.get("frame")
    if not isinstance(frame, Mapping):
        raise ValueError(f"data has no 'frame' with {', '.join(_FRAME)}")
    for key in _FRAME:
        if not isinstance(frame.get(key), str):
            raise ValueError(f"frame.{key} is {frame.get(key)!r}; it must be text")
    try:
        date.fromisoformat(frame["date"])
    except ValueError:
        raise ValueError(
            f"frame.date is {frame['date']!r}; it must be a date such as 2027-03-01"
        ) from None
    return frame


def _template(name: str, folder: Path) -> str:
    if not re.fullmatch(r"[a-z][a-z0-9_-]*", name):
        raise ValueError(f"template name {name!r}: use small letters, digits, - and _ only")
    path = folder / f"{name}.typ"
    if not path.is_file():
        known = sorted(p.stem for p in folder.glob("*.typ"))
        raise ValueError(f"no template {name!r}; there are: {', '.join(known)}")
    return path.read_text(encoding="utf-8")


def _drawing(name: str, svg: str, folders: tuple[Path, ...]) -> tuple[dict[str, Any], bool]:
    """A drawing with its size and the words that stand for it where it cannot be seen."""
    size = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg)
    if size is None:
        raise ValueError(f"drawing {name!r} has no viewBox that starts at 0 0")
    words = [
        unescape(found.group(1)).strip()
        for tag in ("title", "desc")
        if (found := re.search(rf"<{tag}>(.*?)</{tag}>", svg, re.DOTALL))
    ]
    alt, _ = printable(". ".join(word for word in words if word), folders)
    if not alt:
        raise ValueError(f"drawing {name!r} has neither title nor description")
    made, changed = printable(svg, folders)
    return {
        "svg": made,
        "alt": alt,
        "width": float(size.group(1)),
        "height": float(size.group(2)),
    }, changed


def _clean(value: Any, folders: tuple[Path, ...], seen: list[bool]) -> Any:
    """The data with all text made printable."""
    if isinstance(value, str):
        made, changed = printable(value, folders)
        seen[0] = seen[0] or changed
        return made
    if isinstance(value, Mapping):
        return {str(key): _clean(part, folders, seen) for key, part in value.items()}
    if isinstance(value, list | tuple):
        return [_clean(part, folders, seen) for part in value]
    return value


def set_type(
    template_name: str,
    data: Mapping[str, Any],
    paper: str = "a4",
    drawings: Mapping[str, str] | None = None,
    *,
    font_folders: tuple[Path, ...] = (),
    templates: Path = TEMPLATES,
) -> tuple[bytes, tuple[str, ...]]:
    """Like render, and what the typesetter warned of: nothing, when the template is sound."""
    if paper not in SIZES:
        raise ValueError(f"paper is {paper!r}; it must be one of {', '.join(SIZES)}")
    drawings = drawings or {}
    _checked_frame(data)
    folders = (FONTS, *(Path(folder).resolve() for folder in font_folders))
    source = _template(template_name, templates)
    seen = [False]
    made: dict[str, Any] = {
        "data": _clean(data, folders, seen),
        "paper": paper,
        "digest": data_digest(data, drawings),
        "drawings": {},
    }
    for name, svg in drawings.items():
        made["drawings"][name], changed = _drawing(name, svg, folders)
        seen[0] = seen[0] or changed
    made["missing"] = seen[0]
    inputs = {"document": json.dumps(made, ensure_ascii=False, allow_nan=False)}
    return _press(folders).set(source, inputs)


def render(
    template_name: str,
    data: Mapping[str, Any],
    paper: str = "a4",
    drawings: Mapping[str, str] | None = None,
    *,
    font_folders: tuple[Path, ...] = (),
    templates: Path = TEMPLATES,
) -> bytes:
    """The document as PDF; the same input gives the same bytes.

    data: JSON-like; its `frame` holds the texts shop, job, title, revision and date (2027-03-01),
    and may hold anchor (such as the head of the log). drawings: SVG by name, as the template calls
    them. font_folders: further fonts of the shop, for scripts the bundled ones lack; without them
    such characters print as their code. templates: folder of the named template, which may import
    the shared parts by `/parts.typ`.
    Raises ValueError naming what is wrong with the input, PaperError when the template fails.
    """
    made, _ = set_type(
        template_name, data, paper, drawings, font_folders=font_folders, templates=templates
    )
    return made
