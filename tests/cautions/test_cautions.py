"""The cautions: whole as shipped, told when they are not, and found for the work they belong to."""

from __future__ import annotations

import pytest

from sparkout.assembly.trade import TRADE
from sparkout.cautions import (
    SIGNAL_WORDS,
    messages_for,
    read_messages,
    shipped_messages,
    without_message,
)
from sparkout.plan.precedence import STAGES

ONE = """
sparkout cautions: 1
cautions:
  - caution: hoist
    signal word: WARNING
    hazard: It creeps.
    consequence: Crushing.
    avoid: Pin it.
    operations: lift, lay in
"""


def test_shipped_ones_are_whole() -> None:
    messages = shipped_messages()
    assert len(messages) >= 20
    for message in messages:
        assert message.hazard.endswith(".")
        assert message.consequence.endswith(".")
        assert message.avoid.endswith(".")
        assert message.operations
        assert message.source
    gravity = [SIGNAL_WORDS.index(message.signal_word) for message in messages]
    assert gravity == sorted(gravity)


# The hazards a shop has to warn of, each by work it belongs to (common practice).
WORK = [
    ("lift engine", "lifting"), ("fit injectors", "injector jet"),
    ("valve springs", "stored spring force"), ("hot tank wash", "cleaning chemicals"),
    ("wash block", "compressed air"), ("shot blast", "dust of shot, oven and old gaskets"),
    ("crack-test crankshaft", "crack testing"), ("leak-test block", "pressure testing"),
    ("grind rod journals", "grinding and honing"), ("bore cylinder", "boring and milling"),
    ("press pin", "pressing"), ("chill seat insert", "cold and hot fitting"),
    ("weld casting", "welding, stitching and spraying"), ("scrape bearing", "bearing metal dust"),
    ("first start", "exhaust gas"), ("run-in", "first start"),
    ("release", "marine, aircraft, emissions and pressure parts"),
    ("surface deck", "working alone, noise, dust, waste"), ("tighten head", "torque tools"),
]  # fmt: skip


@pytest.mark.parametrize(("work", "name"), WORK)
def test_each_hazard_is_found_at_its_work(work: str, name: str) -> None:
    assert name in [message.name for message in messages_for(shipped_messages(), [work])]


def test_no_step_of_the_trade_names_work_without_a_caution() -> None:
    operations = [operation for row in TRADE for operation in row.operations]
    assert without_message(shipped_messages(), operations) == ()


def test_words_are_whole_words() -> None:
    messages, faults = read_messages(ONE)
    assert faults == ()
    assert messages_for(messages, ["lift head"]) == messages
    assert messages_for(messages, ["lifting table"]) == ()
    assert messages_for(messages, ["lay in the crankshaft"]) == messages
    assert messages_for(messages, ["lay out"]) == ()
    (fault,) = without_message(messages, ["lift", "knurl", "knurl"])
    assert not fault.stops
    assert "knurl" in fault.place.key


BAD = [
    ("signal word: WARNING", "signal word: WARNNG", "'WARNNG'", "Did you mean 'WARNING'?"),
    ("    operations: lift, lay in\n", "    operations: ','\n", "nothing", ""),
    ("    hazard: It creeps.\n", "", "no 'hazard' under 'item 1'", "Add it."),
    ("    avoid: Pin it.", "    avoids: Pin it.", "'avoids', which is not known here",
     "Did you mean 'avoid'?"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "found", "remedy"), BAD)
def test_a_faulty_file_gives_no_cautions_and_says_why(
    old: str, new: str, found: str, remedy: str
) -> None:
    assert old in ONE
    messages, faults = read_messages(ONE.replace(old, new))
    assert messages == ()
    assert (faults[0].found, faults[0].remedy) == (found, remedy)
    assert faults[0].place.file == "cautions.yaml"
    assert faults[0].place.line is not None


def test_a_name_twice_is_told() -> None:
    twice = ONE + ONE[ONE.index("  - caution") :]
    messages, faults = read_messages(twice)
    assert messages == ()
    assert faults[0].found == "'hoist' a second time"


def test_every_operation_the_planner_knows_has_its_caution() -> None:
    """Only putting washers in by hand has none of its own."""
    messages = shipped_messages()
    bare = [work for work in STAGES if not messages_for(messages, [work])]
    assert bare == ["fit thrust washers"]
