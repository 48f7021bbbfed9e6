"""Spreadsheets: numbers as the sheet shows them, dates refused by name, hostile files refused."""

from __future__ import annotations

import datetime
import io
import os
import subprocess
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
import python_calamine
import xlsxwriter
from hypothesis import given, settings
from hypothesis import strategies as st
from workbooks import ods, xls, xlsx

from sparkout.measure.intake import sheet_file
from sparkout.measure.intake.form import write_form
from sparkout.measure.intake.mapping import ColumnMapping, ValueColumn
from sparkout.measure.intake.numbers import number_text
from sparkout.measure.intake.records import Readings
from sparkout.measure.intake.sheet_child import sheets_of
from sparkout.measure.intake.sheet_file import read_workbook
from sparkout.measure.intake.zip_guard import check_zip

HEAD = ["Feature", "Characteristic", "Value (mm)"]
ROW = ["bore 2", "bore diameter", 100.246]


def typed(got: Readings) -> list[str]:
    return [one.body["typed"] for one in got.drafts]


@pytest.mark.parametrize(
    "data",
    [xlsx({"Sheet1": [HEAD, ROW]}), ods([HEAD, ROW]), xls([HEAD, ROW])],  # type: ignore[list-item]
    ids=["xlsx", "ods", "xls"],
)
def test_three_formats_say_the_same(data: bytes) -> None:
    got = read_workbook(data, "bench")
    assert got.faults == got.asks == ()
    (one,) = got.drafts
    assert one.body == {
        "feature": "bore 2",
        "characteristic": "bore diameter",
        "typed": "100.246",
        "unit": "mm",
    }
    assert str(one.place) == "bench:2:3: Sheet1!C2"


def test_the_hand_made_old_workbook_is_one() -> None:
    """The reader alone agrees that the bytes the test made are a workbook."""
    book = python_calamine.load_workbook(io.BytesIO(xls([["a", 1.5]])))
    assert book.get_sheet_by_index(0).to_python() == [["a", 1.5]]


def test_dates_and_the_like_are_refused_by_name() -> None:
    rows = [HEAD, ROW, ["bore 3", "bore diameter", datetime.date(2027, 8, 3)]]
    rows += [["bore 4", "bore diameter", True]]
    for data in (xlsx({"Bench": rows}), ods(rows)):  # type: ignore[dict-item, arg-type]
        got = read_workbook(data, "bench")
        assert typed(got) == ["100.246"]
        assert [fault.place.key.split("!")[1] for fault in got.faults] == ["C3", "C4"]
        assert "the date or time 2027-08-03" in got.faults[0].found
        assert "Format the column as text" in got.faults[0].remedy
        assert got.faults[1].found == "TRUE"


def test_a_time_is_refused_and_an_error_is_blank() -> None:
    out = io.BytesIO()
    with xlsxwriter.Workbook(out, {"in_memory": True}) as book:
        sheet = book.add_worksheet("S")
        for column, header in enumerate(HEAD):
            sheet.write(0, column, header)
        sheet.write(1, 0, "bore 1")
        sheet.write(1, 1, "bore diameter")
        sheet.write_datetime(1, 2, datetime.time(12, 30), book.add_format({"num_format": "h:mm"}))
        sheet.write(2, 0, "bore 2")
        sheet.write(2, 1, "bore diameter")
        sheet.write_formula(2, 2, "=1/0", None, "#DIV/0!")
    got = read_workbook(out.getvalue(), "a.xlsx")
    assert got.drafts == ()
    assert [fault.place.key for fault in got.faults] == ["S!C2"]
    assert "12:30:00" in got.faults[0].found
    assert [place.line for place in got.blank] == [3]  # an error counts as an empty cell


def test_a_formula_counts_as_its_result() -> None:
    got = read_workbook(xlsx({"S": [HEAD, ["bore 1", "bore diameter", "=100+0.5"]]}), "a.xlsx")
    assert typed(got) == ["100.5"]


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.1 + 0.2, "0.3"),
        (100.246, "100.246"),
        (1e-7, "0.0000001"),
        (1.5e-6, "0.0000015"),
        (1e20, "100000000000000000000"),
        (-0.0, "-0"),
        (1 / 3, "0.333333333333333"),
    ],
)
def test_numbers_have_fifteen_digits(value: float, text: str) -> None:
    assert number_text(value) == text


@given(st.integers(1, 10**6), st.integers(0, 5))
def test_a_number_of_few_digits_comes_back_as_typed(digits: int, places: int) -> None:
    typed_text = f"{digits / 10**places:.{places}f}"
    assert number_text(float(typed_text)) == (
        typed_text.rstrip("0").rstrip(".") if "." in typed_text else typed_text
    )


def test_text_cells_may_leave_the_mark_open() -> None:
    rows = [HEAD, ROW, ["bore 3", "bore diameter", "100,221"]]
    got = read_workbook(xlsx({"S": rows}), "a.xlsx")  # type: ignore[dict-item]
    assert [ask.what for ask in got.asks] == ["decimal"]
    answered = read_workbook(xlsx({"S": rows}), "a.xlsx", decimal=",")  # type: ignore[dict-item]
    assert typed(answered) == ["100.246", "100,221"]


def test_which_sheet_is_asked() -> None:
    data = xlsx({"Cover": [["Job 12"]], "Bench": [HEAD, ROW], "Empty": []})
    got = read_workbook(data, "a.xlsx")
    (ask,) = got.asks
    assert ask.what == "sheet"
    assert [choice.answer for choice in ask.choices] == ["Cover", "Bench"]
    assert typed(read_workbook(data, "a.xlsx", sheet="Bench")) == ["100.246"]
    wrong = read_workbook(data, "a.xlsx", sheet="bench")
    assert str(wrong.faults[0]) == ('a.xlsx: found no sheet "bench"; expected one of Cover, Bench.')


def test_a_table_that_does_not_begin_in_the_corner() -> None:
    rows = [[], ["", "Job 12"], [], ["", *HEAD], ["", *ROW]]
    got = read_workbook(xlsx({"S": rows}), "a.xlsx")  # type: ignore[dict-item]
    assert got.faults == ()
    assert str(got.drafts[0].place) == "a.xlsx:5:4: S!D5"


def test_a_mapping_is_recalled_for_a_sheet() -> None:
    mapping = ColumnMapping(("hole", "size"), (("feature", 0),), (ValueColumn(1),), unit="mm")
    data = xlsx({"S": [["Hole", "Size"], ["bore 1", 100.2]]})
    got = read_workbook(data, "a.xlsx", kept=[mapping], fixed={"characteristic": "bore diameter"})
    assert typed(got) == ["100.2"]


def test_an_empty_workbook_gives_nothing() -> None:
    assert read_workbook(xlsx({"S": []}), "a.xlsx") == Readings()


def changed(data: bytes, change: Callable[[str, bytes], bytes]) -> bytes:
    """The workbook with its members changed."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", 8) as new:
        for info in old.infolist():
            new.writestr(info.filename, change(info.filename, old.read(info)))
    return out.getvalue()


def far_cell(name: str, data: bytes) -> bytes:
    if not name.endswith("sheet1.xml"):
        return data
    row = b'<row r="1048576"><c r="XFD1048576"><v>1</v></c></row></sheetData>'
    return data.replace(b"</sheetData>", row)


def padded(name: str, data: bytes) -> bytes:
    return data + b" " * 30_000_000 if name.endswith("sheet1.xml") else data


BOOK = xlsx({"S": [HEAD, ROW]})  # type: ignore[dict-item]


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "found a file that is no spreadsheet"),
        (b"feature,value\n", "Text with columns is read as such"),
        (b"PK\x03\x04", "found a damaged or foreign file"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"x" * 600, "cannot be read"),
        (changed(BOOK, far_cell), "too large to be laid out, or damaged"),
        (ods([HEAD, ROW], repeat=100_000), "cannot be read"),  # type: ignore[list-item]
        (changed(BOOK, padded), "bytes that unpack to"),
        (changed(BOOK, lambda name, data: b""), "cannot be read"),
        (changed(BOOK, lambda name, data: data[: len(data) // 2]), "cannot be read"),
    ],
    ids=["empty", "text", "stump", "old stump", "far", "repeat", "padded", "hollow", "halved"],
)
def test_what_is_not_read(data: bytes, said: str) -> None:
    got = read_workbook(data, "a.xlsx")
    assert got.drafts == ()
    assert said in " ".join(str(fault) for fault in got.faults)


def test_entities_are_not_expanded() -> None:
    lol = b'<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;">]>'

    def bomb(name: str, data: bytes) -> bytes:
        return data.replace(b"<sst", lol + b"<sst").replace(b">bore 2<", b">&b;<")

    got = read_workbook(changed(BOOK, bomb), "a.xlsx")
    assert all("aaaaaaaaaa" not in one.body["feature"] for one in got.drafts)


def test_the_directory_of_the_zip_is_judged_before_anything_is_unpacked() -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("a.xml", b"0" * 60_000_000)
        archive.writestr("../b.xml", b"")
    said = [fault.found for fault in check_zip(out.getvalue(), "a.xlsx")]
    assert said[0] == "60000000 bytes when unpacked"
    assert "bytes that unpack to 60000000" in said[1]
    assert said[2] == "a name that leaves the archive"
    many = io.BytesIO()
    with zipfile.ZipFile(many, "w") as archive:
        for at in range(201):
            archive.writestr(f"{at}", b"")
    assert check_zip(many.getvalue(), "a")[0].found == "201 members"
    assert check_zip(b"x" * 20_000_001, "a")[0].found == "20000001 bytes"
    locked = bytearray(BOOK)
    locked[locked.index(b"PK\x01\x02") + 8] |= 1
    assert "an encrypted member" in str(check_zip(bytes(locked), "a")[0])


def test_a_reader_that_hangs_or_babbles_is_left(monkeypatch: pytest.MonkeyPatch) -> None:
    def hangs(*args: object, **kwargs: object) -> None:
        raise subprocess.TimeoutExpired("x", 1)

    monkeypatch.setattr(subprocess, "run", hangs)
    assert "not read within" in str(read_workbook(BOOK, "a.xlsx").faults[0])

    def babbles(*args: object, **kwargs: object) -> subprocess.CompletedProcess[bytes]:
        return subprocess.CompletedProcess([], 0, b"[]", b"")

    monkeypatch.setattr(subprocess, "run", babbles)
    assert "no answer" in str(read_workbook(BOOK, "a.xlsx").faults[0])


@pytest.mark.skipif(sys.platform != "linux", reason="address space is bounded on Linux")
def test_the_child_is_bounded() -> None:
    """The process that reads may not take more memory than it was given."""
    code = (
        "from sparkout.measure.intake import sheet_child as c; import resource; c._bound()\n"
        "assert resource.getrlimit(resource.RLIMIT_AS)[0] == c.MEMORY\n"
        "try: bytearray(c.MEMORY)\nexcept MemoryError: print('refused')"
    )
    env = {**os.environ, "PYTHONPATH": str(Path(sheet_file.__file__).parents[3])}
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, env=env, check=True)
    assert done.stdout == b"refused\n"


def test_too_many_cells_are_refused() -> None:
    wide = xlsx({"S": [["x"] * 1000, *[[] for _ in range(398)], ["x"] * 1000, ["y"]]})
    assert "error" in sheets_of(wide)
    assert "more than 400000 cells" in str(read_workbook(wide, "a.xlsx").faults[0])


@settings(max_examples=25, deadline=None)
@given(st.data())
def test_no_damage_breaks_the_reader(data: st.DataObject) -> None:
    file = bytearray(data.draw(st.sampled_from([BOOK, ods([HEAD, ROW]), xls([HEAD, ROW])])))  # type: ignore[list-item]
    for _ in range(data.draw(st.integers(1, 5))):
        at = data.draw(st.integers(0, len(file) - 1))
        file[at : at + data.draw(st.integers(0, 6))] = data.draw(st.binary(max_size=6))
    got = read_workbook(bytes(file), "a")
    assert isinstance(got, Readings)


ROWS = [
    {"feature": "bore 1", "characteristic": "bore diameter", "level": "top", "unit": "mm"},
    {"feature": "bore 2", "characteristic": "bore diameter", "typed": "100.240", "unit": "mm"},
    {"feature": "bore 3", "characteristic": "bore diameter", "typed": "3/8", "unit": "in"},
    {"feature": "deck", "characteristic": "flatness", "typed": "0.06 passes, 0.08 not"},
    {"feature": "=1+1", "characteristic": "@SUM(A1)", "typed": "+5 tenths", "unit": "in"},
    {"feature": "-2", "characteristic": "\t=1", "typed": "-0.02", "unit": "mm", "note": "http://a"},
]


def test_a_form_comes_back_without_a_loss(tmp_path: Path) -> None:
    path = tmp_path / "form.xlsx"
    write_form(path, ROWS)
    got = read_workbook(path.read_bytes(), "form.xlsx")
    assert got.asks == ()
    assert [fault for fault in got.faults if fault.stops] == []
    filled = [row for row in ROWS if "typed" in row]
    assert [one.body for one in got.drafts] == [
        {**row, "characteristic": row["characteristic"].strip()} for row in filled
    ]
    assert [place.line for place in got.blank] == [2]


def test_a_form_holds_no_formula_and_no_link(tmp_path: Path) -> None:
    path = tmp_path / "form.xlsx"
    write_form(path, ROWS)
    with zipfile.ZipFile(path) as archive:
        sheet = archive.read("xl/worksheets/sheet1.xml")
        assert b"<f>" not in sheet
        assert b"<hyperlink" not in sheet
        assert b"=1+1" in archive.read("xl/sharedStrings.xml")
    rows = python_calamine.load_workbook(str(path)).get_sheet_by_index(0).to_python()
    assert rows[2][4:6] == ["100.240", 100.24]
    assert rows[3][4:6] == ["3/8", ""]


def test_the_same_rows_give_the_same_form() -> None:
    one, two = io.BytesIO(), io.BytesIO()
    write_form(one, ROWS)
    write_form(two, ROWS)
    assert one.getvalue() == two.getvalue()


@pytest.mark.parametrize(
    ("field", "why"),
    [("master", "'master' has no column in the form"), ("x", "'x' is no field of a reading")],
)
def test_a_form_takes_only_its_columns(field: str, why: str) -> None:
    with pytest.raises(KeyError, match=why):
        write_form(io.BytesIO(), [{field: "1"}])
