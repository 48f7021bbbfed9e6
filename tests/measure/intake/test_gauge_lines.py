"""Gauges that type: prefix, sign, number, unit, line end, in any pieces (docs/gauge-lines.md)."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sparkout.faults import Fault
from sparkout.measure.intake.gauge_line import GaugeQuestion, GaugeReading, Item, read_line
from sparkout.measure.intake.gauge_profile import GaugeProfile, profile_from_fields
from sparkout.measure.intake.gauge_stream import feed, finish, gauge_stream

BORE = GaugeProfile(
    "G7",
    prefix="~B1~",
    decimals=3,
    low=Fraction(-1),
    high=Fraction(1),
    deviation=True,
    polarity="plus is smaller",
)
MIKE = GaugeProfile("M3", prefix="M3:", decimals=3, low=Fraction(50), high=Fraction(75))
INCH = GaugeProfile("M4", prefix="M4:", unit="in", decimals=4, low=Fraction(2), high=Fraction(3))
LINE = (BORE, MIKE, INCH)
ALONE = GaugeProfile("G1", decimals=3, low=Fraction(0), high=Fraction(150))


def one(text: str, *profiles: GaugeProfile) -> Item:
    item = read_line(text, profiles or LINE)
    assert item is not None
    return item


def reading(text: str, *profiles: GaugeProfile) -> GaugeReading:
    item = one(text, *profiles)
    assert isinstance(item, GaugeReading), item
    return item


def fault(text: str, *profiles: GaugeProfile) -> Fault:
    item = one(text, *profiles)
    assert isinstance(item, Fault), item
    return item


def asked(text: str, *profiles: GaugeProfile) -> GaugeQuestion:
    item = one(text, *profiles)
    assert isinstance(item, GaugeQuestion), item
    return item


@pytest.mark.parametrize(
    ("text", "gauge", "typed", "unit"),
    [
        ("~B1~+0.012", "G7", "+0.012", "mm"),
        ("~B1~-0.012", "G7", "-0.012", "mm"),
        ("~B1~0.012", "G7", "+0.012", "mm"),
        ("~B1~0.000", "G7", "0.000", "mm"),
        ("~B1~- 0.012 mm", "G7", "-0.012", "mm"),
        ("\x02M3:64.972\x03", "M3", "64.972", "mm"),
        ("M3:  64.972mm ", "M3", "64.972", "mm"),
        ("M3:2.5579 in", "M3", "2.5579", "in"),
        ('M4:2.5579"', "M4", "2.5579", '"'),
    ],
)
def test_a_line_is_a_reading(text: str, gauge: str, typed: str, unit: str) -> None:
    got = reading(text)
    assert (got.gauge, got.typed, got.unit) == (gauge, typed, unit)
    assert got.sent == text.strip(" \x02\x03")


def test_a_deviation_brings_its_sign_rule() -> None:
    assert dict(reading("~B1~+0.012").fields) == {
        "typed": "+0.012",
        "unit": "mm",
        "gauge": "G7",
        "polarity": "plus is smaller",
    }
    assert dict(reading("M3:64.972").fields) == {"typed": "64.972", "unit": "mm", "gauge": "M3"}


def test_an_empty_line_is_nothing() -> None:
    assert read_line("  \x00", LINE) is None


@pytest.mark.parametrize(
    ("text", "found", "expected"),
    [
        ("~B1~0.01", '"~B1~0.01" with 2 decimals, cut short', "3 decimals, as G7 always shows"),
        ("M3:64.", '"M3:64.", cut short after the mark', "digits behind the mark"),
        ("M3:", '"M3:", cut short', "a number after the prefix"),
        ("M3:64.9725", '"M3:64.9725" with 1 decimals too many', "3 decimals, as M3 always shows"),
        ("B1~+0.012", '"B1~+0.012", which lacks the beginning of "~B1~"', "a line that begins"),
        ("64.972", '"64.972", which begins with no prefix', "a line that begins with"),
        ("M3:Err", '"M3:Err" without a number', "a number"),
        ("M3:6ß4", '"M3:6ß4"', "the prefix, a sign, a number and perhaps a unit"),
        ("M3:64.972 volt", '"M3:64.972 volt"', "the prefix, a sign, a number"),
        ("M3:٦٤.972", '"M3:٦٤.972"', "the prefix, a sign, a number"),
    ],
)
def test_a_bad_line_is_a_fault(text: str, found: str, expected: str) -> None:
    got = fault(text)
    assert got.found.startswith(found)
    assert got.expected.startswith(expected)


def test_a_layout_that_is_not_this_machines_is_named() -> None:
    assert "let it type 0123456789.-" in fault("M3:6ß4").remedy


@pytest.mark.parametrize(
    ("text", "profile", "first", "second"),
    [
        ("M3:64.97264.971", MIKE, "64.972", "64.971"),
        ("M3:64.972mm64.971mm", MIKE, "64.972mm", "64.971mm"),
        ("M3:64.972M3:64.971", MIKE, "64.972", "64.971"),
        ("~B1~+0.012-0.003", BORE, "+0.012", "-0.003"),
        ("~B1~+0.012M3:64.971", BORE, "+0.012", "64.971"),
        ("100.246100.182", GaugeProfile("G1"), "100.246", "100.182"),
        ("12-3", GaugeProfile("G1", decimals=0), "12", "-3"),
    ],
)
def test_two_values_glued_together_are_told_apart_and_refused(
    text: str, profile: GaugeProfile, first: str, second: str
) -> None:
    profiles = LINE if profile in LINE else (profile,)
    got = fault(text, *profiles)
    assert got.found == f'two values glued together, "{first}" and "{second}"'
    assert "Nothing was entered" in got.remedy


@pytest.mark.parametrize(
    ("text", "slip", "would_be"),
    [
        # 64.972 mm = 2.55795… in, shown to 4 places: 2.5580 in = 64.9732 mm exactly.
        ("M3:2.5580", "unit", Fraction("64.9732")),
        # 2.5580 in is 64.9732 mm, shown to 3 places: 64.973 / 25.4 in.
        ("M4:64.973", "unit", Fraction(64973, 25400)),
        ("M3:64972", "mark lost", Fraction("64.972")),
    ],
)
def test_what_fits_only_otherwise_is_a_question(text: str, slip: str, would_be: Fraction) -> None:
    got = asked(text)
    assert got.question.likely is not None
    assert (got.question.likely.slip, got.question.likely.would_be) == (slip, would_be)
    assert got.reading.sent == text


def test_what_the_gauge_cannot_show_is_a_question_without_a_cause() -> None:
    got = asked("M3:80.000")
    assert got.question.causes == ()
    assert got.question.found == "80 mm, which M3 cannot show"
    assert got.question.expected == "50 to 75 mm"


def test_a_decimal_comma_is_a_question() -> None:
    got = asked("M3:64,972")
    assert got.question.likely is not None
    assert got.question.likely.slip == "layout"
    assert got.question.likely.would_be == Fraction("64.972")
    comma = GaugeProfile("M3", prefix="M3:", decimals=3, decimal=",")
    assert reading("M3:64,972", comma).typed == "64,972"


def test_the_longest_prefix_decides() -> None:
    long = GaugeProfile("long", prefix="M3:X:")
    assert reading("M3:X:64.972", *LINE, long).gauge == "long"
    assert reading("M3:64.972", *LINE, long).gauge == "M3"
    assert reading("64.972", *LINE, ALONE).gauge == "G1"


# -- the stream


def through(profiles: tuple[GaugeProfile, ...], chunks: list[bytes]) -> list[Item]:
    stream = gauge_stream(profiles)
    items: list[Item] = []
    for chunk in chunks:
        stream, more = feed(stream, chunk)
        items += more
    stream, more = finish(stream)
    return [*items, *more]


def typed(items: list[Item]) -> list[str]:
    return [item.typed for item in items if isinstance(item, GaugeReading)]


def test_any_line_end_will_do() -> None:
    for end in (b"\r", b"\n", b"\r\n"):
        assert typed(through((ALONE,), [b"100.246" + end + b"100.182" + end])) == [
            "100.246",
            "100.182",
        ]
    tab = GaugeProfile("T", terminator="tab")
    assert typed(through((tab,), [b"1.5\t2.5\t"])) == ["1.5", "2.5"]


def test_a_burst_that_ends_in_silence_is_cut_short() -> None:
    items = through((ALONE,), [b"100.246\r\n100.1"])
    assert typed(items) == ["100.246"]
    assert isinstance(items[1], Fault)
    assert items[1].found == "'100.1' and then nothing"
    assert str(items[1].place) == "gauge:2"
    assert through((ALONE,), [b"100.246\r\n  "]) == items[:1]


def test_after_a_silence_the_next_line_is_whole() -> None:
    stream, _ = feed(gauge_stream((ALONE,)), b"100.1")
    stream, _ = finish(stream)
    _, items = feed(stream, b"100.182\r\n")
    assert typed(list(items)) == ["100.182"]
    assert items[0].line == 2  # type: ignore[union-attr]


def test_a_line_without_end_is_said_once() -> None:
    items = through((ALONE,), [b"x" * 500, b"\r\n", b"100.246\r\n"])
    assert [type(item) for item in items] == [Fault, GaugeReading]


def test_gauges_that_cannot_be_told_apart_are_refused() -> None:
    with pytest.raises(ValueError, match="G1 and G2 have the same prefix ''"):
        gauge_stream([ALONE, GaugeProfile("G2")])
    with pytest.raises(ValueError, match="at least one"):
        gauge_stream([])


NUMBERS = st.decimals(0, 1, places=3).map(lambda value: f"{value:.3f}")


@given(
    st.lists(st.tuples(st.sampled_from([BORE, MIKE]), NUMBERS), max_size=8),
    st.sampled_from([b"\r", b"\n", b"\r\n"]),
    st.data(),
)
def test_the_pieces_do_not_matter(
    sent: list[tuple[GaugeProfile, str]], end: bytes, data: st.DataObject
) -> None:
    lines = [
        f"{profile.prefix}{number if profile is BORE else f'6{number[0]}{number[1:]}'}"
        for profile, number in sent
    ]
    whole = b"".join(line.encode() + end for line in lines)
    chunks, rest = [], whole
    while rest:
        size = data.draw(st.integers(1, 7))
        chunks.append(rest[:size])
        rest = rest[size:]
    items = through(LINE, chunks)
    assert items == through(LINE, [whole])
    assert [item.sent for item in items] == lines  # type: ignore[union-attr]
    assert all(isinstance(item, GaugeReading) for item in items)


@settings(max_examples=300)
@given(
    st.lists(st.binary(max_size=40) | st.sampled_from([b"~B1~", b"M3:", b"64.972", b"\r\n"])),
    st.sampled_from(
        [LINE, (ALONE,), (GaugeProfile("any"),), (GaugeProfile("T", terminator="tab"),)]
    ),
)
def test_no_bytes_break_the_stream(chunks: list[bytes], profiles: tuple[GaugeProfile, ...]) -> None:
    items = through(profiles, chunks)
    assert items == through(profiles, [b"".join(chunks)])
    for item in items:
        assert isinstance(item, GaugeReading | GaugeQuestion | Fault)


@settings(max_examples=500)
@given(st.text('~B1M3:+-.,0123456789 minµß"', max_size=30))
def test_no_line_is_read_as_anything_but_what_it_says(text: str) -> None:
    item = read_line(text, LINE)
    if isinstance(item, GaugeReading):
        # What comes out stands in what came in, sign and number next to each other.
        assert item.typed.lstrip("+-") in text
        assert Fraction(item.typed.replace(",", ".")) is not None


# -- the profile


def test_a_profile_is_read_from_plain_text() -> None:
    found = {
        "gauge": "G7",
        "prefix": "~B1~",
        "terminator": "tab",
        "unit": "in",
        "decimals": "5",
        "low": "-0,05",
        "high": "0.05",
        "deviation": "yes",
        "polarity": "plus is smaller",
        "decimal": ",",
    }
    profile, faults = profile_from_fields(found)
    assert faults == ()
    assert profile == GaugeProfile(
        "G7",
        "~B1~",
        "tab",
        "in",
        5,
        Fraction(-1, 20),
        Fraction(1, 20),
        True,
        "plus is smaller",
        ",",
    )


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"gauge": ""}, 'gauge: found ""; expected the id of the gauge.'),
        ({"prefix": "x" * 17}, "at most 16 plain characters"),
        ({"prefix": "B\t"}, "at most 16 plain characters"),
        ({"prefix": "B1"}, "a last character that cannot belong to the number"),
        ({"terminator": "space"}, 'expected "enter" or "tab"'),
        ({"unit": "furlong"}, "a unit such as mm or in"),
        ({"decimals": "9"}, "a whole number from 0 to 8"),
        ({"decimals": "³"}, "a whole number from 0 to 8"),
        ({"low": "x"}, 'low: found "x"; expected a number such as -0.5.'),
        ({"low": "1", "high": "1"}, 'high: found "1"; expected a number above 1.'),
        ({"polarity": "left"}, 'expected "plus is bigger" or "plus is smaller"'),
        ({"deviation": "perhaps"}, 'expected "yes" or "no"'),
        ({"decimal": ";"}, 'expected "." or ","'),
        ({"colour": "red"}, "colour: found"),
        ({"decimals": 3}, 'decimals: found "3"; expected text.'),
    ],
)
def test_a_bad_profile_is_said(change: dict[str, object], said: str) -> None:
    profile, faults = profile_from_fields({"gauge": "G7", **change})
    assert profile is None
    assert said in " ".join(str(fault) for fault in faults)


def test_a_profile_must_be_an_object() -> None:
    assert profile_from_fields([])[0] is None
