"""Priming, first start, running in, and what is looked at again afterwards. All common practice."""

from __future__ import annotations

from sparkout.assembly.step import Stage
from sparkout.assembly.trade.row import Row

__all__ = ["START"]

START: tuple[Row, ...] = (
    Row(
        "prime-oil",
        "Fill and prime",
        Stage.START,
        (
            "Filter filled, oil and coolant in, fuel bled.",
            "Turn the pump or push oil through a gallery until pressure shows and oil comes out at "
            "the top end; turn the crank a few times by hand meanwhile.",
        ),
        on=("block",),
        seen=(("pressure", "oil pressure is seen on a gauge before the first start"),),
        operations=("prime", "fill", "bleed"),
        after=("account-for-parts",),
    ),
    Row(
        "first-start",
        "First start",
        Stage.START,
        (
            "Gauge in the gallery, shut-offs tried, second person at them.",
            "Stop at once when no oil pressure shows within seconds, at any knock, leak or smoke "
            "that is not understood.",
            "Raise it from idle as soon as pressure holds: long idling glazes fresh bores and "
            "starves a new cam.",
        ),
        on=("block",),
        seen=(
            ("leaks", "no leak of oil, coolant, fuel or gas"),
            ("noise", "no knock, no rattle that stays"),
        ),
        operations=("first start",),
        after=("prime-oil",),
        second_person=True,
    ),
    Row(
        "warm-up",
        "Warm it up once and let it cool",
        Stage.START,
        (
            "Up to working temperature without load; stop at once at any leak, knock or loss of "
            "pressure.",
            "Stop it and let it stand as the joint that is tightened next asks for.",
        ),
        on=("block",),
        when=("retorque",),
        seen=(
            ("warm", "it came to working temperature; oil, coolant and gas stay where they are"),
            ("stood", "it has stood as the joint that is tightened next asks for"),
        ),
        operations=("run-in",),
        after=("first-start",),
    ),
    Row(
        "retighten",
        "Tighten again after warm-up, where the sheet says so",
        Stage.START,
        ("Only the joints the maker names, at the temperature he names.",),
        when=("retorque",),
        operations=("retighten",),
        after=("warm-up",),
    ),
    Row(
        "reset-lash",
        "Set the valve lash again: the head came down",
        Stage.START,
        (),
        on=("valve",),
        when=("retorque closes lash",),
        seen=(("lash", "lash read cold after the head was tightened again, reset where it moved"),),
        operations=("lash", "turn crank"),
        after=("retighten",),
    ),
    Row(
        "run-in",
        "Run in",
        Stage.START,
        ("Stop, let it cool, and look at oil, coolant and leaks between stages.",),
        on=("block",),
        seen=(("blow-by", "blow-by is falling or steady, oil and coolant stay where they are"),),
        operations=("run-in",),
        after=("first-start", "retighten", "reset-lash"),
    ),
    Row(
        "retighten-later",
        "Tighten again after running, where the sheet says so",
        Stage.START,
        ("Only the joints the maker names, when and at the temperature he names.",),
        when=("retorque later",),
        operations=("retighten",),
        after=("run-in",),
    ),
    Row(
        "recheck-lash",
        "Read the lash again",
        Stage.START,
        (),
        on=("valve",),
        when=("lash",),
        operations=("lash", "recheck"),
        after=("run-in", "retighten-later"),
    ),
    Row(
        "release",
        "Change oil and filter, look over, sign",
        Stage.START,
        (
            "Oil and filter out while warm; cut the filter open and look for metal.",
            "Run-in and service sheet handed over; what was deferred is on it.",
        ),
        on=("block",),
        seen=(
            ("filter", "no metal in the filter beyond what running in leaves"),
            ("handed over", "run-in sheet handed over and signed for"),
        ),
        operations=("release", "oil"),
        after=("run-in", "retighten-later", "recheck-lash"),
        second_person=True,
    ),
)
