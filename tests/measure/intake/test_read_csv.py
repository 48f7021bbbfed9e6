"""Text files and pasted text: good rows beside bad ones, the layout proven or asked."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sparkout.job.bodies import Reading
from sparkout.job.entry import draft
from sparkout.measure.intake.files import read_csv, read_pasted
from sparkout.measure.intake.layout import Layout, decimal_mark, find_delimiter
from sparkout.measure.intake.mapping import ColumnMapping, ValueColumn, recall, remember
from sparkout.measure.intake.mapping_file import mapping_from_json
from sparkout.measure.intake.records import FIELDS, Readings
from sparkout.measure.intake.table import split_lines

HEAD = "Feature,Characteristic,Level,Direction,Value (mm),Gauge\n"


def typed(got: Readings) -> list[str]:
    return [one.body["typed"] for one in got.drafts]


def said(got: Readings) -> list[str]:
    return [str(fault) for fault in got.faults]


def test_rows_become_bodies_that_the_log_takes() -> None:
    got = read_csv(f"{HEAD}bore 2,bore diameter,top,thrust,100.246,G7\n".encode(), "bench.csv")
    assert got.faults == got.asks == got.blank == ()
    (one,) = got.drafts
    assert one.body == {
        "feature": "bore 2",
        "characteristic": "bore diameter",
        "typed": "100.246",
        "level": "top",
        "direction": "thrust",
        "unit": "mm",
        "gauge": "G7",
    }
    assert str(one.place) == "bench.csv:2:5"
    made, faults = draft("reading", "Ines", one.body)
    assert faults == ()
    assert made is not None
    assert isinstance(made.body, Reading)


def test_the_fields_are_those_of_the_log() -> None:
    assert set(FIELDS) == set(Reading.__dataclass_fields__)


def test_good_rows_are_kept_beside_bad_ones() -> None:
    text = HEAD + (
        "bore 1,bore diameter,top,thrust,100.182,G7\n"
        ",bore diameter,top,thrust,100.140,G7\n"
        "bore 2,,top,thrust,100.246,G7\n"
        "bore 2,bore diameter,top,axial,100.2.72,G7\n"
        "bore 3,bore diameter,top,thrust,about 100,G7\n"
        "bore 3,bore diameter,top,axial,100,161,G7\n"
        "bore 4,bore diameter,top,thrust,,G7\n"
        "bore 4,bore diameter,top,axial,100.130,G7\n"
    )
    got = read_csv(text.encode(), "bench.csv")
    assert typed(got) == ["100.182", "100.130"]
    assert [(fault.place.line, fault.place.column) for fault in got.faults] == [
        (3, None),
        (4, None),
        (5, 5),
        (6, 5),
        (7, 7),
    ]
    assert said(got)[0] == (
        'bench.csv:3: found no feature; expected the feature, such as "bore 2".'
    )
    assert said(got)[2].startswith("bench.csv:5:5: found '100.2.72'; expected one number")
    assert "put the cell in quotes" in said(got)[4]
    assert [str(place) for place in got.blank] == ["bench.csv:8"]


def test_values_stay_as_typed() -> None:
    values = ["+5 tenths", "12 fits, 13 does not", "3 27/64 in", ".0025", "100.240", "-0.02"]
    rows = "".join(f'bore 1;bore diameter;"{value}"\n' for value in values)
    got = read_csv(f"feature;characteristic;value (in)\n{rows}".encode(), "a.csv")
    assert typed(got) == values
    assert got.faults == ()
    assert [one.body.get("unit", "") for one in got.drafts] == ["", "", "", "in", "in", "in"]


@pytest.mark.parametrize(
    ("line", "mark", "decimal"),
    [
        ("bore 1;bore diameter;100,25", ";", ","),
        ("bore 1;bore diameter;0,125", ";", ","),
        ("bore 1;bore diameter;,125", ";", ","),
        ("bore 1;bore diameter;1100,125", ";", ","),
        ("bore 1;bore diameter;100.25", ";", "."),
        ("bore 1,bore diameter,100.246", ",", "."),
        ('bore 1,bore diameter,"100,25"', ",", ","),
        ("bore 1\tbore diameter\t100.246", "\t", "."),
        ("bore 1|bore diameter|100", "|", ""),
    ],
)
def test_a_layout_that_is_proven(line: str, mark: str, decimal: str) -> None:
    head = mark.join(("feature", "characteristic", "value (mm)"))
    got = read_csv(f"{head}\n{line}\n".encode(), "a.csv")
    assert got.asks == ()
    assert got.layout == Layout(mark, decimal)
    assert len(got.evidence) == 3
    assert len(got.drafts) == 1


@pytest.mark.parametrize(
    ("values", "choices"),
    [
        (["100,246", "100,182"], {".": "100246, 100182", ",": "100.246, 100.182"}),
        (["100.246"], {".": "100.246", ",": "100246"}),
        (["100,2", "100.1"], {}),
    ],
)
def test_a_decimal_mark_that_is_not_proven_is_asked(
    values: list[str], choices: dict[str, str]
) -> None:
    rows = "".join(f"bore {at};bore diameter;{value}\n" for at, value in enumerate(values))
    data = f"feature;characteristic;value (mm)\n{rows}".encode()
    got = read_csv(data, "a.csv")
    assert got.drafts == ()
    (ask,) = got.asks
    assert ask.what == "decimal"
    for choice in ask.choices:
        if choices:
            assert choice.shows.endswith(choices[choice.answer])
    assert values[0] in str(ask)
    answered = read_csv(data, "a.csv", decimal=values[0][3])
    assert answered.asks == ()
    assert typed(answered) == [value for value in values if values[0][3] in value]
    assert len(answered.faults) == len(values) - len(answered.drafts)


def test_part_numbers_prove_nothing_about_the_decimal_mark() -> None:
    data = b"feature;characteristic;gauge;value (mm)\nbore 1;bore diameter;7,25;100,246\n"
    assert [ask.what for ask in read_csv(data, "a.csv").asks] == ["decimal"]


def test_a_delimiter_that_is_not_proven_is_asked() -> None:
    data = b"a;b,c\n1;2,3\n"
    got = read_csv(data, "a.csv")
    (ask,) = got.asks
    assert ask.what == "delimiter"
    assert [choice.answer for choice in ask.choices] == [",", ";"]
    assert "1;2,3" in str(ask)
    assert [ask.what for ask in read_csv(data, "a.csv", delimiter=";").asks] == ["columns"]


def test_known_headers_decide_between_two_delimiters() -> None:
    found = find_delimiter(["feature;value,mm\n", "bore 1;100,246\n"], [",", ";"])
    assert found.ask is not None  # one known word under each: no proof
    lines = ["feature;characteristic, kind;value\n", "bore 1;bore diameter, as is;100,246\n"]
    found = find_delimiter(lines, [",", ";"])
    assert found.answer == ";"


def test_rows_of_another_width_than_the_header_are_no_table() -> None:
    found = find_delimiter(["feature,value", "bore 1,100,246", "bore 2,100,182"], [",", ";"])
    assert found.ask is not None
    assert found.ask.choices == ()


def test_lines_above_the_header_are_passed_over() -> None:
    data = f"Report 12\n\nMade on the bench,,,,,\n{HEAD}bore 1,bore diameter,top,thrust,100.2,G7\n"
    got = read_csv(data.encode(), "a.csv")
    assert typed(got) == ["100.2"]
    assert str(got.drafts[0].place) == "a.csv:5:5"


def test_a_unit_that_is_said_nowhere_is_asked() -> None:
    data = b"feature,characteristic,value\nbore 1,bore diameter,3.9467\nbore 2,bore diameter,4 in\n"
    got = read_csv(data, "a.csv")
    assert [ask.what for ask in got.asks] == ["unit"]
    assert "the 1 numbers without one" in str(got.asks[0])
    answered = read_csv(data, "a.csv", unit="in")
    assert [one.body.get("unit") for one in answered.drafts] == ["in", None]
    assert answered.mapping is not None
    assert answered.mapping.unit == "in"


def test_a_gauge_brings_its_unit() -> None:
    data = b"feature,characteristic,value,gauge\nbore 1,bore diameter,3.9467,G7\n"
    got = read_csv(data, "a.csv")
    assert got.asks == ()
    assert "unit" not in got.drafts[0].body


def test_a_unit_column_says_it_row_by_row() -> None:
    data = b"feature,characteristic,value,unit\na,b,3.9467,in\na,b,100.2,furlong\na,b,52,HRC\n"
    got = read_csv(data, "a.csv")
    assert [one.body["unit"] for one in got.drafts] == ["in", "HRC"]
    assert said(got) == ['a.csv:3:4: found "furlong"; expected a unit such as mm, in, thou or µm.']


def test_a_characteristic_that_is_said_nowhere_is_asked_and_remembered() -> None:
    data = b"feature,value (mm)\nbore 1,100.2\n"
    got = read_csv(data, "a.csv")
    assert [ask.what for ask in got.asks] == ["characteristic"]
    answered = read_csv(data, "a.csv", fixed={"characteristic": "bore diameter", "phase": "found"})
    assert answered.drafts[0].body["characteristic"] == "bore diameter"
    assert answered.drafts[0].body["phase"] == "found"
    assert answered.mapping is not None
    assert answered.mapping.fixed == (("characteristic", "bore diameter"),)
    again = read_csv(data, "b.csv", kept=[answered.mapping])
    assert again.asks == ()
    assert "phase" not in again.drafts[0].body


def test_a_wide_table_is_read() -> None:
    data = (
        b"Feature,Characteristic,top thrust (mm),top axial (mm),bottom/thrust (mm)\n"
        b"bore 1,bore diameter,100.182,100.140,\n"
        b"bore 2,bore diameter,100.246,x,100.040\n"
    )
    got = read_csv(data, "a.csv")
    assert [
        (one.body["feature"], one.body["level"], one.body["direction"], one.body["typed"])
        for one in got.drafts
    ] == [
        ("bore 1", "top", "thrust", "100.182"),
        ("bore 1", "top", "axial", "100.140"),
        ("bore 2", "top", "thrust", "100.246"),
        ("bore 2", "bottom", "thrust", "100.040"),
    ]
    assert [(fault.place.line, fault.place.column) for fault in got.faults] == [(3, 4)]


def test_columns_that_are_not_known_are_said() -> None:
    data = b"Feature,Characteristic,Value (mm),Operator\nbore 1,bore diameter,100.2,Otto\n"
    got = read_csv(data, "a.csv")
    assert len(got.drafts) == 1
    assert [(fault.place.column, fault.stops) for fault in got.faults] == [(4, False)]
    assert 'the column "Operator", which is not read' in said(got)[0]


@pytest.mark.parametrize(
    ("head", "sentence"),
    [
        ("hole,value,level", "Which column names the feature?"),
        ("feature,size,level", "Which column holds the readings?"),
        ("feature,value,reading", "Which of value, reading is the typed?"),
    ],
)
def test_columns_that_are_not_clear_are_asked(head: str, sentence: str) -> None:
    got = read_csv(f"{head}\nbore 1,100.2,top\n".encode(), "a.csv")
    assert [ask.sentence for ask in got.asks] == [sentence]


HOLES = ColumnMapping(("hole", "size"), (("feature", 0),), (ValueColumn(1),), unit="mm")


def test_a_mapping_is_given_kept_and_recalled() -> None:
    data = b"hole;size\nbore 1;100,246\n"
    fixed = {"characteristic": "bore diameter"}
    asked = read_csv(data, "a.csv", mapping=HOLES, fixed=fixed)
    assert [ask.what for ask in asked.asks] == ["decimal"]
    got = read_csv(data, "a.csv", mapping=HOLES, fixed=fixed, decimal=",")
    assert typed(got) == ["100,246"]
    assert got.mapping is not None
    plain = json.loads(json.dumps(got.mapping.to_json()))
    back, faults = mapping_from_json(plain)
    assert faults == ()
    assert back == got.mapping
    # The next file of that kind raises no question, whatever the case of its headers.
    later = read_csv(b" Hole ;SIZE\nbore 3;100,221\n", "b.csv", kept=[back])
    assert later.asks == later.faults == ()
    assert typed(later) == ["100,221"]
    assert later.drafts[0].body["characteristic"] == "bore diameter"


def test_a_mapping_for_other_headers_is_refused() -> None:
    got = read_csv(b"a,b\n1,2\n", "a.csv", mapping=HOLES)
    assert said(got) == ["a.csv:1: found a, b; expected the headers hole, size."]


def test_the_newest_mapping_for_the_same_headers_is_kept() -> None:
    newer = ColumnMapping(("Hole", "Size"), (("feature", 0),), (ValueColumn(1),), unit="in")
    kept = remember(remember((), HOLES), newer)
    assert kept == (newer,)
    assert recall(kept, ["HOLE", "size "]) is not None
    assert recall(kept, ["hole"]) is None


@pytest.mark.parametrize(
    ("change", "key"),
    [
        ({"form": 2}, "form"),
        ({"headers": []}, "headers"),
        ({"columns": {"colour": 1}}, "columns.colour"),
        ({"columns": {"feature": 0}}, "columns.feature"),
        ({"columns": {"feature": True}}, "columns.feature"),
        ({"columns": []}, "columns"),
        ({"values": []}, "values"),
        ({"values": [{"column": 3}]}, "values[1].column"),
        ({"values": [2]}, "values[1].column"),
        ({"values": [{"column": 2, "level": 5}]}, "values[1].level"),
        ({"fixed": {"x": "y"}}, "fixed.x"),
        ({"unit": 5}, "unit"),
        ({"delimiter": "x"}, "delimiter"),
        ({"delimiter": ",", "decimal": "x"}, "decimal"),
        ({"colour": "red"}, "colour"),
    ],
)
def test_a_kept_mapping_that_is_wrong_is_refused(change: dict[str, object], key: str) -> None:
    mapping, faults = mapping_from_json({**HOLES.to_json(), **change})
    assert mapping is None
    assert faults[0].place.key == key


def test_pasted_text_with_tabs_or_spaces() -> None:
    tabs = "feature\tcharacteristic\tvalue (mm)\nbore 1\tbore diameter\t100.246\n"
    wide = "feature   characteristic   value (mm)\nbore 1    bore diameter    100.246\n"
    single = "feature characteristic value\n1 diameter 100.246\n2 diameter 100.182\n"
    for text, unit in ((tabs, ""), (wide, ""), (single, "mm")):
        got = read_pasted(text, unit=unit)
        assert got.asks == got.faults == ()
        assert typed(got)[0] == "100.246"
    assert read_pasted(wide).drafts[0].body["feature"] == "bore 1"
    assert str(read_pasted(tabs).drafts[0].place) == "pasted text:2:3"


def test_nothing_gives_nothing() -> None:
    assert read_pasted("") == Readings()
    assert read_csv(b" \r\n\n", "a.csv") == Readings()


def test_quotes_that_do_not_match_are_said_where_they_begin() -> None:
    data = f'{HEAD}bore 1,"bore diameter,top,thrust,100.1,G7\nbore 2,x,top,axial,100.2,G7\n'
    got = read_csv(data.encode(), "a.csv")
    assert got.drafts == ()
    assert said(got)[0].startswith("a.csv:2: found quotes that do not match")


def test_an_inch_mark_is_no_quote() -> None:
    data = b'feature,characteristic,value\nbore 1,bore diameter,3.9467"\n'
    assert typed(read_csv(data, "a.csv")) == ['3.9467"']


def test_a_field_with_line_ends_keeps_the_line_numbers_right() -> None:
    # RFC 4180, 2, rule 6: fields with line breaks in quotes, its example aaa,"b CRLF bb",ccc.
    table = split_lines('aaa,"b\r\nbb",ccc\r\nzzz,yyy,xxx'.splitlines(keepends=True), ",", "a.csv")
    assert [[cell.text for cell in row] for row in table.rows] == [
        ["aaa", "b\r\nbb", "ccc"],
        ["zzz", "yyy", "xxx"],
    ]
    assert [row[0].place.line for row in table.rows] == [1, 3]


def test_doubled_quotes_are_one() -> None:
    # RFC 4180, 2, rule 7: "aaa","b""bb","ccc".
    table = split_lines(['"aaa","b""bb","ccc"'], ",", "a.csv")
    assert [cell.text for cell in table.rows[0]] == ["aaa", 'b"bb', "ccc"]


def test_other_encodings() -> None:
    text = f"{HEAD}Ø bore 1,bore diameter,top,thrust,100.1,G7\n"
    for encoding, warned in (("utf-8-sig", 0), ("utf-16", 0), ("cp1252", 1)):
        got = read_csv(text.encode(encoding), "a.csv")
        assert got.drafts[0].body["feature"] == "Ø bore 1"
        assert [fault.stops for fault in got.faults] == [False] * warned
    for data in (b"\xff\xfea", b"a\x00b", b"\x81\x8d", b"x" * 20_000_001):
        got = read_csv(data, "a.csv")
        assert got.drafts == ()
        assert len(got.faults) == 1


def test_the_marks_of_a_column_are_counted_below_the_header() -> None:
    rows = split_lines(["a;1,25", "b;x"], ";", "").rows
    assert decimal_mark(rows, ";").evidence == ("1,25 can only have a decimal comma",)


PIECES = st.sampled_from(
    [
        *("feature", "value", "unit", "100.2", "100,246", "3/8", "bore", "mm", "é", "fits"),
        *("thrust", "top", "+", "-", '"', ";", ",", "|", "\t", "  ", "\n", "\r\n", "\x00"),
        *("\u2028", "\x1c", "12 fits"),
    ]
)


@settings(max_examples=400)
@given(st.lists(PIECES, max_size=40).map("".join), st.sampled_from([None, ".", ","]))
def test_no_text_breaks_the_readers(text: str, decimal: str | None) -> None:
    for got in (
        read_csv(text.encode(), "a.csv", decimal=decimal),
        read_pasted(text, decimal=decimal, unit="mm", fixed={"characteristic": "x"}),
        read_csv(text.encode(), "a.csv", delimiter=";", unit="in", kept=[HOLES]),
    ):
        assert not (got.asks and got.drafts)
        for one in got.drafts:
            made, faults = draft("reading", "x", one.body)
            assert made is not None, faults


@given(st.binary(max_size=200))
def test_no_bytes_break_the_readers(data: bytes) -> None:
    got = read_csv(data, "a.csv")
    assert not (got.asks and got.drafts)


JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-3, 3) | st.text(max_size=4),
    lambda part: (
        st.lists(part, max_size=3)
        | st.dictionaries(
            st.sampled_from(["form", "headers", "columns", "values", "fixed", "column", "feature"]),
            part,
            max_size=4,
        )
    ),
    max_leaves=10,
)


@given(JSON)
def test_no_json_breaks_the_reader_of_mappings(found: object) -> None:
    mapping, faults = mapping_from_json(found)
    assert (mapping is None) == bool(faults)


def test_a_large_file_is_read(tmp_path: Path) -> None:
    rows = "".join(
        f"bore {at % 8},bore diameter,top,axial,100.{at:05d},G7\n" for at in range(20_000)
    )
    got = read_csv((HEAD + rows).encode(), "a.csv")
    assert len(got.drafts) == 20_000
