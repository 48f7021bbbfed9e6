"""What stands before the tree: bytes to clean text, and the YAML scanner's complaints in plain
words."""

from __future__ import annotations

from sparkout.faults import Fault, Place
from sparkout.units import quoted

__all__ = ["LARGEST", "MOST_FAULTS", "decoded", "in_plain_words", "refuse_marks"]

LARGEST = 500_000  # bytes; the sheet of a large engine takes a few tens of thousands
MOST_FAULTS = 50


def decoded(content: bytes | str, file: str, faults: list[Fault]) -> str | None:
    raw = content.encode("utf-8", "surrogatepass") if isinstance(content, str) else content
    if len(raw) > LARGEST:
        faults.append(
            Fault(
                Place(file),
                f"a file of {len(raw):,} bytes".replace(",", " "),
                f"at most {LARGEST:,} bytes".replace(",", " "),
                "Check that this is the right file.",
            )
        )
        return None
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        faults.append(
            Fault(Place(file, 1, 1), "text saved as UTF-16", "UTF-8 text", "Save it as UTF-8.")
        )
        return None
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = raw[: error.start]
        line = before.count(b"\n") + 1
        column = len(before[before.rfind(b"\n") + 1 :].decode("utf-8", "replace")) + 1
        faults.append(
            Fault(
                Place(file, line, column),
                f"the byte {raw[error.start]:#04x}, which is not UTF-8",
                "UTF-8 text",
                "Save the file as UTF-8; signs such as ° or µ often come from another encoding.",
            )
        )
        return None
    if not text.strip():
        faults.append(Fault(Place(file, 1, 1), "an empty file", "at least one 'key: value' line"))
        return None
    return text


def refuse_marks(text: str, file: str, faults: list[Fault]) -> None:
    """Tabs and control characters: invisible on the screen, so the place is all that helps."""
    for number, line in enumerate(text.split("\n"), 1):
        for column, mark in enumerate(line.removesuffix("\r"), 1):
            if mark == "\t":
                found, remedy = "a tab character", "Replace tabs by spaces; indent by two."
            elif ord(mark) < 32 or 127 <= ord(mark) < 160 or ord(mark) in _UNSEEN:
                found = f"an invisible control character (U+{ord(mark):04X})"
                remedy = "Delete it and type the line again."
            else:
                continue
            faults.append(
                Fault(Place(file, number, column), found, "spaces and visible text", remedy)
            )
            break
        if len(faults) >= MOST_FAULTS:
            return


_UNSEEN = frozenset([0x2028, 0x2029, 0xFEFF, 0xFFFE, 0xFFFF, *range(0xD800, 0xE000)])


_ODD_BEGINNINGS = ("start any token", "chomping", "indentation ind", "a comment or a line break")


def in_plain_words(problem: str, there: str) -> tuple[str, str, str]:
    """What the YAML scanner means, for somebody who never heard of YAML."""
    shown = quoted(there)
    if "mapping values are not allowed" in problem:
        return (
            f"a second colon, or wrong indentation, at {shown}",
            "one 'name: value' on a line, indented like its neighbours",
            "Put a text that contains a colon in quotes.",
        )
    if "could not find expected ':'" in problem:
        return (f"no colon in or before {shown}", "'name: value'", "Add the colon and the value.")
    if "sequence entries are not allowed" in problem:
        return (
            f"a dash behind a colon in {shown}",
            "each '- value' on a line of its own, below its name",
            "For a number below zero, leave no gap behind the minus.",
        )
    if any(words in problem for words in _ODD_BEGINNINGS):
        return (
            f"a value that begins with a sign of its own meaning in {shown}",
            "a value that begins with a letter or a digit",
            "Write 'at least' or 'at most' for > and <; put other signs in quotes.",
        )
    if "expected <block end>" in problem:
        return (
            f"indentation that fits no line above, at {shown}",
            "entries of one level in one column",
            "Line the entries up; indent by two spaces.",
        )
    if "quoted scalar" in problem or "end of stream" in problem:
        return (
            f"a text without its closing quote, near {shown}", "a quote at both ends",
            "Close it; for inches behind a number no opening quote is needed.",
        )  # fmt: skip
    return (f"{problem} at {shown}", "plain 'name: value' or '- value' lines", "")
