"""Spreadsheets for the tests: .xlsx by XlsxWriter, .ods and .xls written out by hand."""

from __future__ import annotations

import datetime
import io
import struct
import zipfile
from collections.abc import Sequence
from xml.sax.saxutils import escape

import xlsxwriter

Value = str | float | datetime.date | bool


def xlsx(sheets: dict[str, Sequence[Sequence[Value]]]) -> bytes:
    """A workbook with these sheets; "=…" is a formula with result 100.5."""
    out = io.BytesIO()
    with xlsxwriter.Workbook(out, {"in_memory": True}) as book:
        date = book.add_format({"num_format": "d/m/yyyy"})
        for name, rows in sheets.items():
            sheet = book.add_worksheet(name)
            for at, row in enumerate(rows):
                for column, value in enumerate(row):
                    if isinstance(value, datetime.date):
                        sheet.write_datetime(at, column, value, date)  # type: ignore[arg-type]
                    elif isinstance(value, str) and value.startswith("="):
                        sheet.write_formula(at, column, value, None, 100.5)
                    else:
                        sheet.write(at, column, value)
    return out.getvalue()


def ods(rows: Sequence[Sequence[Value]], *, repeat: int = 1) -> bytes:
    """A workbook of OpenDocument with one sheet; repeat: how often the last cell is repeated."""
    lines = []
    for row in rows:
        cells = "".join(_ods_cell(value) for value in row)
        lines.append(f"<table:table-row>{cells}</table:table-row>")
    if repeat > 1:
        lines.append(
            f'<table:table-row table:number-rows-repeated="{repeat}">'
            f'<table:table-cell table:number-columns-repeated="{repeat}" '
            'office:value-type="float" office:value="1"/></table:table-row>'
        )
    names = "urn:oasis:names:tc:opendocument:xmlns"
    content = (
        '<?xml version="1.0" encoding="UTF-8"?><office:document-content '
        f'xmlns:office="{names}:office:1.0" xmlns:table="{names}:table:1.0" '
        f'xmlns:text="{names}:text:1.0" office:version="1.2"><office:body><office:spreadsheet>'
        f'<table:table table:name="Sheet1">{"".join(lines)}</table:table>'
        "</office:spreadsheet></office:body></office:document-content>"
    )
    kind = "application/vnd.oasis.opendocument.spreadsheet"
    manifest = (
        '<?xml version="1.0" encoding="UTF-8"?><manifest:manifest '
        f'xmlns:manifest="{names}:manifest:1.0"><manifest:file-entry manifest:full-path="/" '
        f'manifest:media-type="{kind}"/><manifest:file-entry manifest:full-path="content.xml" '
        'manifest:media-type="text/xml"/></manifest:manifest>'
    )
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("mimetype", kind)
        archive.writestr("META-INF/manifest.xml", manifest)
        archive.writestr("content.xml", content, zipfile.ZIP_DEFLATED)
    return out.getvalue()


def _ods_cell(value: Value) -> str:
    if isinstance(value, bool):
        said = str(value).lower()
        return f'<table:table-cell office:value-type="boolean" office:boolean-value="{said}"/>'
    if isinstance(value, datetime.date):
        day = value.isoformat()
        return f'<table:table-cell office:value-type="date" office:date-value="{day}"/>'
    if isinstance(value, float):
        return f'<table:table-cell office:value-type="float" office:value="{value!r}"/>'
    return (
        '<table:table-cell office:value-type="string">'
        f"<text:p>{escape(value)}</text:p></table:table-cell>"
    )


def xls(rows: Sequence[Sequence[str | float]]) -> bytes:
    """A workbook of BIFF8 in a compound file ([MS-XLS], [MS-CFB]), with one sheet."""

    def record(kind: int, body: bytes) -> bytes:
        return struct.pack("<HH", kind, len(body)) + body

    def start(kind: int) -> bytes:
        return record(0x0809, struct.pack("<HHHHII", 0x0600, kind, 0x0DBB, 0x07CC, 0, 6))

    end = record(0x000A, b"")
    name = b"Sheet1"
    cells = b""
    for at, row in enumerate(rows):
        for column, value in enumerate(row):
            where = struct.pack("<HHH", at, column, 0)
            if isinstance(value, float):
                cells += record(0x0203, where + struct.pack("<d", value))
            else:
                text = value.encode("utf-16-le")
                cells += record(0x0204, where + struct.pack("<HB", len(value), 1) + text)
    size = record(0x0200, struct.pack("<IIHHH", 0, len(rows), 0, max(map(len, rows)), 0))
    sheet = start(0x0010) + size + cells + end
    page = record(0x0042, struct.pack("<H", 1200))
    bound = struct.pack("<IBBBB", 0, 0, 0, len(name), 0) + name
    before = len(start(0x0005) + page + record(0x0085, bound) + end)
    bound = struct.pack("<IBBBB", before, 0, 0, len(name), 0) + name
    return _compound(start(0x0005) + page + record(0x0085, bound) + end + sheet)


def _compound(stream: bytes) -> bytes:
    """A compound file with the one stream "Workbook"."""
    stream = stream.ljust(4096, b"\0")  # shorter ones would go to the mini stream
    stream = stream.ljust(-(-len(stream) // 512) * 512, b"\0")
    count = len(stream) // 512
    table, directory = 0, 1  # sectors: the allocation table, the directory, then the stream
    entries = [0xFFFFFFFD, 0xFFFFFFFE]
    entries += [*range(3, count + 2), 0xFFFFFFFE]
    fat = struct.pack("<128I", *entries, *[0xFFFFFFFF] * (128 - len(entries)))
    header = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(16)
    header += struct.pack("<HHHHH", 0x3E, 3, 0xFFFE, 9, 6) + bytes(6)
    header += struct.pack("<IIIIIIIII", 0, 1, directory, 0, 4096, 0xFFFFFFFE, 0, 0xFFFFFFFE, 0)
    header += struct.pack("<109I", table, *[0xFFFFFFFF] * 108)

    def entry(name: str, kind: int, child: int, first: int, size: int) -> bytes:
        text = name.encode("utf-16-le") + b"\0\0"
        links = struct.pack("<III", 0xFFFFFFFF, 0xFFFFFFFF, child)
        return (
            text.ljust(64, b"\0")
            + struct.pack("<HBB", len(text), kind, 1)
            + links
            + bytes(36)
            + struct.pack("<IQ", first, size)
        )

    folder = entry("Root Entry", 5, 1, 0xFFFFFFFE, 0) + entry(
        "Workbook", 2, 0xFFFFFFFF, 2, len(stream)
    )
    folder += bytes(128) * 2
    return header + fat + folder + stream
