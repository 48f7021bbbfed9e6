"""From the bytes of a text file to its characters, with what was found out on the way."""

from __future__ import annotations

from sparkout.faults import Fault, Place

__all__ = ["LARGEST", "decoded"]

LARGEST = 20_000_000
"""Bytes in one text file of readings."""

_MARKS = (
    (b"\xef\xbb\xbf", "utf-8-sig"),
    (b"\xff\xfe", "utf-16"),
    (b"\xfe\xff", "utf-16"),
)


def decoded(data: bytes, file: str) -> tuple[str | None, tuple[Fault, ...]]:
    """The text of a file.

    UTF-8, or UTF-16 where the file begins with its mark; anything else is read as Windows-1252,
    which most spreadsheets of the western world still write, with a warning.

    data: the bytes of the file [-], at most 20 MB.
    file: its name, for the faults [-].
    Returns the text, None where there is none, and the faults [-].
    Holds for text files; a file with zero bytes is refused.
    Source: The Unicode Standard, 3.10 (byte order mark).

    >>> decoded("Ø 100".encode(), "a.csv")
    ('Ø 100', ())
    >>> decoded(b"\\xd8 100", "a.csv")[0]
    'Ø 100'
    """
    if len(data) > LARGEST:
        return None, (Fault(Place(file), f"{len(data)} bytes", f"at most {LARGEST}"),)
    encoding = next((name for mark, name in _MARKS if data.startswith(mark)), "utf-8")
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError as error:
        if encoding != "utf-8":
            fault = Fault(Place(file), f"broken {encoding} at byte {error.start + 1}", "whole text")
            return None, (fault,)
        return _windows(data, file)
    return _no_zeros(text, file)


def _windows(data: bytes, file: str) -> tuple[str | None, tuple[Fault, ...]]:
    try:
        text, wrong = _no_zeros(data.decode("cp1252"), file)
    except UnicodeDecodeError as error:
        found = f"byte {data[error.start]:#04x}, which neither UTF-8 nor Windows-1252 has"
        return None, (Fault(Place(file), found, "a text file", "Save it again as UTF-8."),)
    if text is None:
        return None, wrong
    warning = Fault(
        Place(file),
        "a file that is not UTF-8",
        "UTF-8",
        "It was read as Windows-1252: check signs such as ° and µ, or save it as UTF-8.",
        stops=False,
    )
    return text, (warning,)


def _no_zeros(text: str, file: str) -> tuple[str | None, tuple[Fault, ...]]:
    if "\0" in text:
        found = "zero bytes, which no text has"
        return None, (Fault(Place(file), found, "a text file with columns"),)
    return text, ()
