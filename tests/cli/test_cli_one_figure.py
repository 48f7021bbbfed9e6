"""The one-figure commands: what they print, what they exit with, what their --json holds."""

import json
from fractions import Fraction as F
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from sparkout import __version__
from sparkout.cli import between as between_module
from sparkout.cli.main import find, run
from sparkout.units import parse_range


def lines(capsys: pytest.CaptureFixture[str], *words: str, status: int = 0) -> str:
    assert run(list(words)) == status
    return capsys.readouterr().out


def data(capsys: pytest.CaptureFixture[str], *words: str, status: int = 0) -> dict[str, Any]:
    result = json.loads(lines(capsys, *words, "--json", status=status))
    assert result["sparkout"] == __version__
    assert result["schema"] == words[0]
    schema = find(words[0]).SCHEMA
    Draft202012Validator.check_schema(schema)
    Draft202012Validator(schema).validate(result)
    return dict(result)


class TestSize:
    def test_lines(self, capsys: pytest.CaptureFixture[str]) -> None:
        # 3 27/64 in = 3.421875 in × 25.4 = 86.915625 mm
        assert lines(capsys, "size", "3", "27/64", "in") == (
            "3 27/64 in\n"
            "    86.915625 mm\n"
            "     3.421875 in\n"
            "  3421.875    thou\n"
            "typed to the nearest 1/64 in\n"
        )

    def test_what_does_not_end_is_said_to_be_rounded(
        self, capsys: pytest.CaptureFixture[str]
    ) -> None:
        out = lines(capsys, "size", "100.02")
        assert "100.02, read as mm" in out
        assert "3.9377953 in  (rounded)" in out  # 100.02 / 25.4 = 3.93779527…

    def test_json(self, capsys: pytest.CaptureFixture[str]) -> None:
        result = data(capsys, "size", "2.5 thou")
        assert result["mm"] == 0.0635
        assert result["in"] == 0.0025
        assert result["thou"] == 2.5
        assert F(result["exact_mm"]) == F("0.0635")
        assert result["unit_typed"] is True
        assert data(capsys, "size", "5")["unit_typed"] is False

    @pytest.mark.parametrize(
        ("words", "mm"),
        [
            (("-0,08", "mm"), -0.08),
            (("-1/2", "in"), -12.7),
            (("-0.5",), -0.5),
            (("--unit", "in", "5", "tenths"), 0.0127),
            (("--", "-0.5", "mm"), -0.5),
        ],
    )
    def test_sizes_below_zero_and_in_other_units(
        self, capsys: pytest.CaptureFixture[str], words: tuple[str, ...], mm: float
    ) -> None:
        assert run(["size", "--json", *words]) == 0
        assert json.loads(capsys.readouterr().out)["mm"] == mm

    def test_refused(self, capsys: pytest.CaptureFixture[str]) -> None:
        assert run(["size", "5", "tenths"]) == 2
        said = capsys.readouterr()
        assert said.out == ""
        assert said.err.startswith("size: found '5 tenths', where one tenth can mean")


class TestGap:
    def test_lines(self, capsys: pytest.CaptureFixture[str]) -> None:
        assert run(["gap", "12 fits, 13 does not", "--system", "inch"]) == 0
        said = capsys.readouterr()
        # 12 thou = 0.3048 mm, 13 thou = 0.3302 mm; outwards
        assert said.out == (
            "12 fits, 13 does not\n"
            "  at least 0.304 mm, below 0.331 mm\n"
            "  at least 0.012 in, below 0.013 in\n"
        )
        assert said.err == "Bare numbers were read as inch blades (--system inch).\n"

    def test_nothing_is_said_of_units_that_were_typed(
        self, capsys: pytest.CaptureFixture[str]
    ) -> None:
        assert run(["gap", "0.06 mm passes, 0.08 not"]) == 0
        assert capsys.readouterr().err == ""

    def test_json(self, capsys: pytest.CaptureFixture[str]) -> None:
        result = data(capsys, "gap", "12 fits, 13 does not")
        assert (result["low_mm"], result["high_mm"]) == (0.12, 0.13)
        assert F(result["exact_high_mm"]) == F("0.13")
        result = data(capsys, "gap", "0.10 does not")
        assert (result["low_mm"], result["high_mm"]) == (None, 0.1)

    def test_refused(self, capsys: pytest.CaptureFixture[str]) -> None:
        assert run(["gap", "0.06", "--json"]) == 2
        assert json.loads(capsys.readouterr().out)["faults"][0]["key"] == "gap"


class TestBetween:
    def test_out(self, capsys: pytest.CaptureFixture[str]) -> None:
        words = ("between", "100.246", "--limit", "at most 100.20 mm", "--u", "0.003")
        assert lines(capsys, *words, status=1) == (
            "100.246 mm against at most 100.20 mm\n"
            "  plain    OUT by 0.046 mm\n"
            "  guarded  OUT: under 0.01 % chance that the true value is within\n"
        )

    def test_out_without_an_uncertainty_stops_too(self, capsys: pytest.CaptureFixture[str]) -> None:
        result = data(capsys, "between", "100.246", "--limit", "at most 100.20 mm", status=1)
        assert result["plain"] == "out"
        assert result["guarded"] is None
        assert result["margin"] == -0.046

    # JCGM 106:2012, clause 7, recalled from memory and recomputed: Zener diode, -5.47 V, u 0.05 V,
    # upper limit -5.40 V, p = 0.92; engine oil, 13.6, u 1.8, 12.5 to 16.3 mm²/s, p = 0.66. Any one
    # dimension serves for the arithmetic.
    @pytest.mark.parametrize(
        ("reading", "u", "limit", "p"),
        [("-5.47", "0.05", "at most -5.40 mm", 0.92), ("13.6", "1.8", "12.5 to 16.3 mm", 0.66)],
    )
    def test_chance_of_published_examples(
        self, capsys: pytest.CaptureFixture[str], reading: str, u: str, limit: str, p: float
    ) -> None:
        assert run(["between", reading, "--limit", limit, "--u", u, "--json"]) == 0
        assert json.loads(capsys.readouterr().out)["chance_within"] == pytest.approx(p, abs=0.005)

    # ISO 14253-1:2017 (95 % and a guard factor of 1.65, recalled from memory): limits 10.000 and
    # 10.050, u 0.004: conformity is proven from 10.0066 to 10.0434, non-conformity below 9.9934 and
    # above 10.0566, neither in between.
    @pytest.mark.parametrize(
        ("reading", "guarded"),
        [
            ("9.9933", "out"),
            ("9.9936", "not proven"),
            ("10.0064", "not proven"),
            ("10.0067", "within"),
            ("10.0433", "within"),
            ("10.0436", "not proven"),
            ("10.0564", "not proven"),
            ("10.0567", "out"),
        ],
    )
    def test_guard_band_of_the_standard(
        self, capsys: pytest.CaptureFixture[str], reading: str, guarded: str
    ) -> None:
        run(["between", reading, "--limit", "10.000 to 10.050 mm", "--u", "0.004", "--json"])
        assert json.loads(capsys.readouterr().out)["guarded"] == guarded

    def test_chance_agrees_with_scipy(self) -> None:
        stats = pytest.importorskip("scipy.stats")
        for value in (-3, -1, 0, F(1, 2), 2, 7):
            for text in ("at most 1 mm", "at least -1 mm", "-1 to 1 mm", "0.999 to 1 mm"):
                limit = parse_range(text, "length")
                normal = stats.norm(float(value), 0.75)
                high = 1.0 if limit.high is None else normal.cdf(float(limit.high))
                low = 0.0 if limit.low is None else normal.cdf(float(limit.low))
                chance = between_module.chance_within(F(value), F(3, 4), limit)
                assert chance == pytest.approx(high - low, abs=1e-15)

    def test_the_reading_takes_the_unit_of_the_limit(
        self, capsys: pytest.CaptureFixture[str]
    ) -> None:
        result = data(capsys, "between", "4.0046", "--limit", "at most 4.0080 in")
        assert (result["unit"], result["value"], result["high"]) == ("in", 4.0046, 4.008)
        result = data(capsys, "between", "4.0046", "--limit", "at most 4.0080", "--unit", "in")
        assert F(result["exact_value"]) == F("4.0046") * F("25.4")

    def test_exactly_at_the_limit_is_within(self, capsys: pytest.CaptureFixture[str]) -> None:
        # In binary floats 0.1 + 0.2 is above 0.3; here nothing is rounded before judging.
        words = ("between", "0.30", "--limit", "at most 0.3 mm")
        assert data(capsys, *words)["plain"] == "within"

    def test_other_dimensions(self, capsys: pytest.CaptureFixture[str]) -> None:
        words = ("between", "68 °F", "--limit", "15 to 25 °C", "--u", "1.8 °F")
        result = data(capsys, *words, "--dimension", "temperature")
        assert result["standard_uncertainty"] == 1.8
        assert result["chance_within"] == pytest.approx(1 - 2 * 2.8665e-7, abs=1e-9)  # 5 sigma
        out = lines(capsys, *words, "--dimension", "temperature")
        assert "9.0 °F inside" in out or "9 °F inside" in out

    @pytest.mark.parametrize(
        ("words", "says"),
        [
            (("5", "--limit", "5 mm"), "limit: found '5 mm', which has one end"),
            (("5 Nm", "--limit", "at most 5 mm"), "reading: found '5 Nm', a torque"),
            (("5", "--limit", "at most 5 mm", "--u", "0"), "--u: found '0'"),
            (("5", "--limit", "at most 5 mm", "--u", "-1"), "--u: found '-1'"),
            (("5", "--limit", "at most 5 mm", "--unit", "Nm"), "'Nm' is no unit of length"),
            (("5", "--limit", "at most 5", "--dimension", "torque"), "without a unit"),
            (("5",), "--limit"),
        ],
    )
    def test_refused(
        self, capsys: pytest.CaptureFixture[str], words: tuple[str, ...], says: str
    ) -> None:
        assert run(["between", *words]) == 2
        assert says in capsys.readouterr().err

    def test_no_certainty_is_claimed(self) -> None:
        assert between_module.percent(1.0) == "over 99.99 %"
        assert between_module.percent(0.0) == "under 0.01 %"
        assert between_module.percent(0.369) == "36.9 %"
        assert between_module.percent(0.9962) == "99.62 %"


class TestClearance:
    def test_main_bearing(self, capsys: pytest.CaptureFixture[str]) -> None:
        # 80.010 − 2 × 2.478 − 74.962 = 0.092
        words = ("clearance", "--hole", "80.010", "--shaft", "74.962", "--wall", "2.478")
        assert lines(capsys, *words) == (
            "clearance on diameter 0.092 mm (0.0036 in)\n  80.010 mm - 2 x 2.478 mm - 74.962 mm\n"
        )
        result = data(capsys, *words)
        assert F(result["exact_mm"]) == F("0.092")
        assert result["kind"] == "clearance"

    def test_interference_and_inches(self, capsys: pytest.CaptureFixture[str]) -> None:
        words = ("clearance", "--hole", "4.0000", "--shaft", "4.0010", "--unit", "in")
        assert lines(capsys, *words).startswith("interference on diameter 0.0010 in (0.025 mm)")
        result = data(capsys, *words)
        assert (result["kind"], result["diametral_in"], result["wall"]) == (
            "interference",
            -0.001,
            None,
        )

    def test_mixed_units(self, capsys: pytest.CaptureFixture[str]) -> None:
        result = data(capsys, "clearance", "--hole", "4 in", "--shaft", "101.5 mm")
        assert F(result["exact_mm"]) == F("101.6") - F("101.5")

    @pytest.mark.parametrize(
        ("words", "says"),
        [
            (("--hole", "0", "--shaft", "5"), "--hole: found '0'"),
            (("--hole", "5", "--shaft", "-5"), "--shaft: found '-5'"),
            (("--hole", "5", "--shaft", "5 Nm"), "--shaft: found '5 Nm', a torque"),
            (("--hole", "5", "--shaft", "4", "--wall", "x"), "--wall: found 'x'"),
            (("--hole", "5"), "--shaft"),
        ],
    )
    def test_refused(
        self, capsys: pytest.CaptureFixture[str], words: tuple[str, ...], says: str
    ) -> None:
        assert run(["clearance", *words]) == 2
        assert says in capsys.readouterr().err
