"""A YAML 1.2 text as a tree in which every key and value knows its line, its column and its raw
text.

Only what a person needs to write facts one per line: block style, plain or quoted text. Built from
parser events, not from a loader, so nothing is ever turned into a number, a date or an object
behind the writer's back ('3.480' keeps its zero, 'no' stays a word), and depth costs no recursion.
"""

from __future__ import annotations

from dataclasses import dataclass

from sparkout.faults import Fault, Place
from sparkout.sheet.yaml_text import MOST_FAULTS, decoded, in_plain_words, refuse_marks
from sparkout.units import quoted

__all__ = ["Broken", "Entry", "Listing", "Mapping", "Node", "Scalar", "grow", "normal"]

_DEEPEST = 12


@dataclass(frozen=True, slots=True)
class Scalar:
    """One key or value as it stands in the file; `line` and `column` count from one."""

    text: str
    line: int
    column: int
    style: str = ""  # '"', "'", '|' or '>' where the text was not plain


@dataclass(frozen=True, slots=True)
class Entry:
    key: Scalar
    value: Node


@dataclass(frozen=True, slots=True)
class Mapping:
    """Keys with values, in the order written."""

    entries: tuple[Entry, ...]
    line: int
    column: int

    def find(self, key: str) -> Entry | None:
        """The entry written like this, else the one that normalises to the same."""
        exact = next((entry for entry in self.entries if entry.key.text == key), None)
        if exact is not None:
            return exact
        plain = normal(key)
        return next((entry for entry in self.entries if normal(entry.key.text) == plain), None)


@dataclass(frozen=True, slots=True)
class Listing:
    """Items written with '- ', in order."""

    items: tuple[Node, ...]
    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Broken:
    """A place whose text was refused; the fault is already told, so nothing more is said of it."""

    line: int
    column: int


Node = Scalar | Mapping | Listing | Broken


def normal(key: str) -> str:
    """A key as a Python field name: 'Bore diameter', 'bore-diameter' -> 'bore_diameter'."""
    return "_".join(key.casefold().replace("-", " ").replace("_", " ").split())


def grow(content: bytes | str, file: str) -> tuple[Node | None, list[Fault]]:
    """The tree of a text and every fault of its form; None where no tree could be made."""
    faults: list[Fault] = []
    text = decoded(content, file, faults)
    if text is not None and not faults:
        refuse_marks(text, file, faults)
    if text is None or faults:
        return None, faults
    return _Grower(file, faults).grow(text), faults


class _Open:
    """A mapping or list that is still being written."""

    __slots__ = ("children", "column", "key", "keys", "line", "listing")

    def __init__(self, listing: bool, line: int, column: int) -> None:
        self.listing = listing
        self.line = line
        self.column = column
        self.children: list[Entry | Node] = []
        self.key: Scalar | None = None
        self.keys: dict[str, Scalar] = {}

    def closed(self) -> Node:
        if self.listing:
            items = tuple(c for c in self.children if not isinstance(c, Entry))
            return Listing(items, self.line, self.column)
        entries = tuple(c for c in self.children if isinstance(c, Entry))
        return Mapping(entries, self.line, self.column)


class _Grower:
    def __init__(self, file: str, faults: list[Fault]) -> None:
        self.file = file
        self.faults = faults
        self.open: list[_Open] = []
        self.root: Node | None = None
        self.skipping = 0  # depth inside a refused flow mapping or list
        self.documents = 0

    def grow(self, text: str) -> Node | None:
        # Imported here: ruamel.yaml costs several times what the rest of a command does.
        from ruamel.yaml import YAML
        from ruamel.yaml.error import MarkedYAMLError, YAMLError

        try:
            for event in YAML(typ="safe", pure=True).parse(text):
                self._take(event)
                # Enough said; and brackets in brackets would cost the scanner quadratic time.
                if self.documents > 1 or len(self.faults) >= MOST_FAULTS:
                    return None
                if self.skipping > _DEEPEST:
                    return None
        except MarkedYAMLError as error:
            self._misread(error, text)
            return None
        except YAMLError as error:  # no place given: the reader refused a character
            self._fault(1, 1, str(error).split("\n")[0], "plain text")
            return None
        except (ValueError, IndexError, AssertionError, AttributeError) as error:
            # A text the YAML library itself trips over is still a person's text, not our bug.
            self._fault(1, 1, f"text that cannot be read ({type(error).__name__})", "YAML 1.2 text")
            return None
        if self.root is None and not self.faults:
            self._fault(1, 1, "no entry, only comments", "at least one 'key: value' line")
        return self.root

    def _take(self, event: object) -> None:
        kind = type(event).__name__
        if kind == "DocumentStartEvent":
            self._document(event)
            return
        if kind in ("StreamStartEvent", "StreamEndEvent", "DocumentEndEvent"):
            return
        mark = event.start_mark  # type: ignore[attr-defined]
        line, column = mark.line + 1, mark.column + 1
        if self.skipping:
            self._skip(kind)
        elif kind.endswith("EndEvent"):
            self._place(self.open.pop().closed())
        elif self._refused(event, kind, line, column):
            self.skipping = int(kind.endswith("StartEvent"))
            self._place(Broken(line, column))
        elif kind == "ScalarEvent":
            text = str(event.value)  # type: ignore[attr-defined]
            style = event.style  # type: ignore[attr-defined]
            self._place(Scalar(text, line, column, style or ""))
        else:
            self.open.append(_Open(kind.startswith("Sequence"), line, column))

    def _document(self, event: object) -> None:
        self.documents += 1
        mark = event.start_mark  # type: ignore[attr-defined]
        if self.documents > 1:
            self._fault(
                mark.line + 1, 1, "a second document after '---'", "one document in a file",
                "Put it in a file of its own.",
            )  # fmt: skip
        elif getattr(event, "version", None) or getattr(event, "tags", None):
            self._fault(
                max(1, mark.line), 1, "a line that begins with %", "key: value lines only",
                "Delete the line.",
            )  # fmt: skip

    def _skip(self, kind: str) -> None:
        if kind.endswith("StartEvent"):
            self.skipping += 1
        elif kind.endswith("EndEvent"):
            self.skipping -= 1

    def _refused(self, event: object, kind: str, line: int, column: int) -> bool:
        if kind == "AliasEvent":
            found = f"a reference (*{event.anchor})"  # type: ignore[attr-defined]
            remedy = "Write the value out. A text that begins with * goes in quotes."
        elif getattr(event, "anchor", None):
            found = f"an anchor (&{event.anchor})"  # type: ignore[attr-defined]
            remedy = "Delete it. A text that begins with & goes in quotes."
        elif getattr(event, "tag", None):
            found = f"a tag ({event.tag})"  # type: ignore[attr-defined]
            remedy = "Delete it. A text that begins with ! goes in quotes."
        elif getattr(event, "flow_style", None):
            braces = "{ }" if kind.startswith("Mapping") else "[ ]"
            found = f"values between {braces}"
            remedy = (
                "A decimal comma would split them, so each value gets a line of its own; "
                "a text with brackets goes in quotes."
            )
        elif kind.endswith("StartEvent") and len(self.open) >= _DEEPEST:
            found = f"entries nested more than {_DEEPEST} deep"
            remedy = "Check the indentation."
        else:
            return False
        expected = "plain 'key: value' or '- value' lines"
        self._fault(line, column, found, expected, remedy, self._way())
        return True

    def _place(self, node: Node) -> None:
        if not self.open:
            self.root = node
            return
        top = self.open[-1]
        if top.listing:
            if isinstance(node, Scalar) and not node.text.strip():
                path = self._way()
                remedy = "Type the value, or delete the line."
                self._fault(node.line, node.column, "nothing behind '-'", "a value", remedy, path)
                node = Broken(node.line, node.column)
            top.children.append(node)
        elif top.key is None:
            top.key = self._key(node)
        else:
            self._entry(top, top.key, node)
            top.key = None

    def _key(self, node: Node) -> Scalar:
        if isinstance(node, Scalar) and node.text.strip():
            return Scalar(" ".join(node.text.split()), node.line, node.column, node.style)
        if not isinstance(node, Broken):
            self._fault(
                node.line, node.column, "an entry without a name before its colon",
                "a name, a colon, a value",
            )  # fmt: skip
        return Scalar("", node.line, node.column)

    def _entry(self, top: _Open, key: Scalar, value: Node) -> None:
        plain = normal(key.text)
        first = top.keys.get(plain)
        if not plain:
            return
        if first is not None:
            self._fault(
                key.line,
                key.column,
                f"{quoted(key.text)} a second time",
                f"each name once; it stands in line {first.line} already",
                "Delete one of the two, or name them apart.",
                self._way(),
            )
            return
        top.keys[plain] = key
        if isinstance(value, Scalar) and not value.text.strip():
            found = f"nothing behind {quoted(key.text)}"
            remedy = "Type the value, or delete the line."
            if value.style in ("|", ">"):
                found = f"{value.style} with no text below it behind {quoted(key.text)}"
                remedy = "Write 'at least' or 'at most' for > and <."
            self._fault(key.line, key.column, found, "a value", remedy, self._way())
            value = Broken(value.line, value.column)
        top.children.append(Entry(key, value))

    def _way(self) -> str:
        """The names of all that is open: where the next value belongs."""
        names = []
        for level in self.open:
            if level.listing:
                names.append(f"item {len(level.children) + 1}")
            elif level.key is not None:
                names.append(level.key.text)
        return " > ".join(names)

    def _fault(
        self, line: int, column: int, found: str, expected: str, remedy: str = "", key: str = ""
    ) -> None:
        self.faults.append(Fault(Place(self.file, line, column, key), found, expected, remedy))

    def _misread(self, error: object, text: str) -> None:
        mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
        line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
        problem = str(getattr(error, "problem", "") or "text that cannot be read")
        lines = text.split("\n")
        there = lines[line - 1].strip() if line <= len(lines) else ""
        found, expected, remedy = in_plain_words(problem, there)
        self._fault(line, column, found, expected, remedy)
