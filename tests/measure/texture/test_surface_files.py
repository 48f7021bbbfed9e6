"""Reading traces and maps from text: what is right, and the exact fault for what is not."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sparkout.measure.texture.csv_trace import trace_from_csv
from sparkout.measure.texture.sdf import map_from_sdf

# Form of the example in ISO 25178-71, annex A, on a small grid (as in the tests of an open reader
# of the format, read in a stored copy); values made for this test.
SDF = (
    "aISO-2.0\r\n"
    "ManufacID = INVENTED\r\n"
    "CreateDate = 040120220853\r\n"
    "ModDate = 050320231353\r\n"
    "NumPoints = 3\r\n"
    "NumProfiles = 2\r\n"
    "Xscale = 1.0e-006\r\n"
    "Yscale = 2.0e-006 ; between rows\r\n"
    "Zscale = 1.0e-006\r\n"
    "Zresolution = 1.0e-009\r\n"
    "Compression = 0\r\n"
    "DataType = 3\r\n"
    "CheckType = 0\r\n"
    "*\r\n"
    "-1.0 6.5e-01 3.0e-01\r\n"
    " 4.5e-01 BAD -6.0e-01\r\n"
    "*\r\n"
    "<Remark> made up </Remark>\r\n"
    "*\r\n"
)


def test_a_surface_data_file_gives_its_map() -> None:
    surface, faults = map_from_sdf(SDF, "bore.sdf")
    assert faults == ()
    assert surface is not None
    assert (surface.step_x, surface.step_y) == pytest.approx((0.001, 0.002))
    first, second = surface.heights_um
    assert first == pytest.approx((-1.0, 0.65, 0.3))
    assert second[1] is None
    assert (second[0], second[2]) == pytest.approx((0.45, -0.6))


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("aISO-2.0", "bISO-2.0", "bore.sdf:1: found 'bISO-2.0'; expected one of aISO-1.0"),
        ("Xscale = 1.0e-006", "Xscale = wide", "bore.sdf:7: Xscale: found 'wide'; expected a len"),
        ("NumPoints = 3", "NumPoints = 4", "bore.sdf:17: found 6 heights; expected 8: 4 points in"),
        (
            "NumPoints = 3",
            "NumPoints 3",
            "bore.sdf:5: found 'NumPoints 3'; expected a line such as",
        ),
        ("NumProfiles = 2", "NumProfiles = 2.5", "bore.sdf:6: NumProfiles: found '2.5'; expected"),
        ("Compression = 0", "Compression = 1", "bore.sdf:11: Compression: found 1; expected 0"),
        ("6.5e-01", "6,5e-01", "bore.sdf:15: found '6,5e-01'; expected a number or BAD"),
        ("BAD", "nan", "bore.sdf:16: found 'nan'; expected a number or BAD"),
        ("NumPoints = 3", "NumPoints = 99999999", "bore.sdf: NumPoints: found 99999999 × 2 points"),
    ],
)
def test_a_damaged_surface_data_file_says_where(old: str, new: str, fault: str) -> None:
    surface, faults = map_from_sdf(SDF.replace(old, new, 1), "bore.sdf")
    assert surface is None
    assert any(str(f).startswith(fault) for f in faults), [str(f) for f in faults]


def test_a_surface_data_file_cut_short_or_empty() -> None:
    surface, faults = map_from_sdf(SDF.split("*", maxsplit=1)[0], "a.sdf")
    assert surface is None
    assert "cut short" in faults[0].remedy
    assert map_from_sdf("", "a.sdf")[0] is None


@pytest.mark.parametrize(
    ("text", "step", "heights"),
    [
        ("x [mm],z [µm]\n0,1\n0.5,2\n1,3\n", 0.5, (1.0, 2.0, 3.0)),
        ("x [mm]; z [µm]\n0,0; 1,5\n0,5; 2\n", 0.5, (1.5, 2.0)),
        ("# honed\n\nx_um\tz_nm\n0\t100\n2\t200\n", 0.002, (0.1, 0.2)),
        ("\ufeffX (mm),Z (um)\n1,1\n3,2\n", 2.0, (1.0, 2.0)),
        ("x [in],z [µin]\n0,10\n0.001,20\n", 0.0254, (0.254, 0.508)),
        ("x [m],z [m]\n0,1e-6\n1e-6,2e-6\n", 0.001, (1.0, 2.0)),
    ],
)
def test_plain_traces(text: str, step: float, heights: tuple[float, ...]) -> None:
    trace, faults = trace_from_csv(text)
    assert faults == ()
    assert trace is not None
    assert trace.spacing == pytest.approx(step)
    assert trace.heights_um == pytest.approx(heights)


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("", "t.csv: found an empty file; expected two columns named x and z"),
        ("0,1\n1,2\n", "t.csv:1: found the header '0,1'; expected two columns named x and z"),
        ("x,z\n0,1\n", "t.csv:1: found the header 'x,z'; expected two columns"),
        ("z [µm],x [mm]\n0,1\n", "t.csv:1: found the header 'z [µm],x [mm]'"),
        (
            "x [mm],z [µm]\n0,1\n1,abc\n",
            "t.csv:3: found '1,abc'; expected two numbers parted by ','",
        ),
        ("x [mm],z [µm]\n0,1\n0,5,2\n", "t.csv:3: found '0,5,2'; expected two numbers parted by"),
        ("x [mm],z [µm]\n0,1\n", "t.csv: found 1 points; expected two points or more"),
        ("x [mm],z [µm]\n0,1\n1,inf\n", "t.csv:3: found '1,inf'"),
        ("x [mm],z [µm]\n1,1\n0,2\n", "t.csv:3: found x that does not grow"),
        ("x [mm],z [µm]\n0,1\n1,1\n3,1\n", "t.csv:3: x: found a step of 1 mm; expected even steps"),
    ],
)
def test_wrong_traces_say_where(text: str, fault: str) -> None:
    trace, faults = trace_from_csv(text, "t.csv")
    assert trace is None
    assert str(faults[0]).startswith(fault)


def test_many_wrong_lines_are_not_all_listed() -> None:
    _, faults = trace_from_csv("x [mm],z [µm]\n" + "a,b\n" * 50, "t.csv")
    assert len(faults) == 21
    assert faults[-1].found == "30 more lines like these"


@settings(deadline=None)
@given(st.text(max_size=200))
def test_no_text_breaks_the_readers(text: str) -> None:
    for read in (trace_from_csv, map_from_sdf):
        result, faults = read(text)
        assert (result is None) == bool(faults)


@settings(deadline=None)
@given(st.text(alphabet="0123456789.,;*=-eE \nBADNumPointsfileszXY", max_size=200))
def test_no_file_body_breaks_the_reader(text: str) -> None:
    result, faults = map_from_sdf("aISO-1.0\n" + text)
    assert (result is None) == bool(faults)
    result2, faults2 = trace_from_csv("x [mm],z [µm]\n" + text)
    assert (result2 is None) == bool(faults2)
