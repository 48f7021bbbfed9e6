"""Every characteristic has words for somebody who is no machinist."""

from __future__ import annotations

import pytest

from sparkout.engine.characteristics import ALL, BY_NAME
from sparkout.report.documents.plain import PLAIN
from sparkout.report.documents.wording import named, sentence, series

# What a customer need not know: words of the trade for a thing that has a plain name.
TRADE = ("journal texture", "TIR", "runout", "squish", "recession", "lash", "crush", "protrusion")


def test_nothing_is_left_without_words() -> None:
    assert set(PLAIN) == {item.name for item in ALL}
    assert len(PLAIN) == len(ALL)


@pytest.mark.parametrize("name", sorted(PLAIN))
def test_words_are_a_phrase_and_not_a_figure(name: str) -> None:
    row = PLAIN[name]
    for text in (row.part, row.high, row.why, row.low):
        assert text == text.strip()
        assert not text.endswith(".")
        assert not any(char.isdigit() for char in text)
        assert not any(word in text.split() for word in TRADE)
    assert row.part
    assert row.high
    assert row.why
    assert row.part[0].islower()


def test_what_wears_one_way_has_words_for_that_way() -> None:
    for item in ALL:
        if item.wears < 0:
            assert PLAIN[item.name].low or "too" not in PLAIN[item.name].high, item.name


def test_below_has_its_own_words_where_it_means_something_else() -> None:
    row = PLAIN["main oil clearance"]
    assert row.wrong(below=False) == "too loose"
    assert row.wrong(below=True) == "too tight: it runs hot"
    assert PLAIN["bore taper"].wrong(below=True) == PLAIN["bore taper"].high
    assert BY_NAME["bore taper"].wears > 0


@pytest.mark.parametrize(
    ("names", "told"),
    [
        ([], ""),
        (["2"], "2"),
        (["2", "3"], "2 and 3"),
        (["1", "2", "3", "4"], "1 to 4"),
        (["1", "2", "3", "5"], "1 to 3 and 5"),
        (["1", "3"], "1 and 3"),
        (["I1", "E1", "I2", "E2", "I3", "E3", "I5"], "E1 to E3, I1 to I3 and I5"),
        (["I1", "E1"], "I1 and E1"),
        (["left", "right"], "left and right"),
        (["8", "9", "10"], "8 to 10"),
    ],
)
def test_series(names: list[str], told: str) -> None:
    assert series(names) == told


def test_parts_are_named_with_the_right_number() -> None:
    assert named("cylinder", ["2", "3"]) == "Cylinders 2 and 3"
    assert named("cylinder", ["2"]) == "Cylinder 2"
    assert named("line of the crankshaft bearings", [""]) == "Line of the crankshaft bearings"
    assert (
        named("top face of the block", ["left", "right"]) == "Top faces of the block left and right"
    )
    assert named("pistons", ["1–2", "1–3"]) == "Pistons 1–2 and 1–3"


def test_sentences_have_a_capital_and_one_stop() -> None:
    assert sentence("bore 6 does not clean up.") == "Bore 6 does not clean up."
    assert sentence("fit it", end="") == "Fit it"
    assert sentence("") == ""
