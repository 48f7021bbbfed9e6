"""What must come before what in the shop, and why.

Each row: an operation, one that may only come after it, and the reason, said to the machinist.
Sources: common practice throughout; several public Army manuals say the same of single rows
(seats after surfacing, crack test after grinding, wash after every abrasive step).
"""

from __future__ import annotations

from typing import NamedTuple

__all__ = ["PRECEDENCE", "STAGES", "Before"]


class Before(NamedTuple):
    """`first` is done before `then`."""

    first: str
    then: str
    why: str


PRECEDENCE: tuple[Before, ...] = (
    Before("straighten crankshaft", "grind main journals", "a bent shaft is ground out of true"),
    Before("straighten crankshaft", "grind rod journals", "a bent shaft is ground out of true"),
    Before("grind main journals", "crack-test crankshaft", "grinding can crack: test afterwards"),
    Before("grind rod journals", "crack-test crankshaft", "grinding can crack: test afterwards"),
    Before("crack-test crankshaft", "polish journals", "only a sound shaft is worth polishing"),
    Before("grind rod journals", "polish journals", "polish last, against the grinding direction"),
    Before("grind main journals", "polish journals", "polish last, against the grinding direction"),
    Before("align-hone mains", "surface deck", "the deck is set up from the main bores"),
    Before("align-hone mains", "bore cylinder", "the bar is set square to the main bores"),
    Before("recut ledge", "surface deck", "ledges are cut first, so that one deck cut sized for "
           "flatness and protrusion together is enough"),
    Before("recut ledge", "fit dry liner", "the flange must sit on the new ledge"),
    Before("surface deck", "fit dry liner", "with liners in, a deck cut takes the flanges flush"),
    Before("hone parent bore", "fit dry liner", "the liner takes the shape of its parent bore"),
    Before("sleeve cylinder", "surface deck", "a sleeve is cut flush with the deck"),
    Before("sleeve cylinder", "bore cylinder", "pressing a sleeve moves its neighbours: finish all "
           "bores after it"),
    Before("surface deck", "bore cylinder", "the boring bar stands on the deck"),
    Before("fit dry liner", "bore cylinder", "a rough liner is bored after it is pressed"),
    Before("bore cylinder", "hone cylinder", "honing takes off what the boring tool tore"),
    Before("resize rod", "straighten rod", "bend is measured from a true big end"),
    Before("straighten rod", "crack-test rod", "bending can crack: test afterwards"),
    Before("straighten rod", "re-bush rod", "the pin bush is bored true in a straight rod"),
    Before("resize rod", "re-bush rod", "the bush is bored from the big end"),
    Before("surface head", "replace guide", "guides are out of the way of the cutter"),
    Before("surface head", "fit seat insert", "depth is measured from the new face"),
    Before("surface head", "cut seat", "seats cut before surfacing come out too shallow"),
    Before("replace guide", "fit seat insert", "the pilot runs in the guide"),
    Before("replace guide", "cut seat", "the pilot runs in the guide"),
    Before("fit seat insert", "cut seat", "the insert is cut in place"),
    Before("reface valve", "cut seat", "depth is set with the valve that will run in it"),
    Before("cut seat", "grind stem tips", "tip height is measured with seats final"),
)  # fmt: skip

# Where the shop has a free hand, this is the order the work is listed in.
STAGES: tuple[str, ...] = (
    "straighten crankshaft",
    "grind main journals",
    "grind rod journals",
    "crack-test crankshaft",
    "polish journals",
    "align-hone mains",
    "hone parent bore",
    "sleeve cylinder",
    "recut ledge",
    "surface deck",
    "fit dry liner",
    "bore cylinder",
    "hone cylinder",
    "deglaze cylinder",
    "resize rod",
    "straighten rod",
    "crack-test rod",
    "re-bush rod",
    "surface head",
    "replace guide",
    "fit seat insert",
    "reface valve",
    "cut seat",
    "grind stem tips",
    "fit cam bushes",
    "regrind camshaft",
    "bush rocker",
    "lap oil pump",
    "skim flywheel",
    "slot sprocket",
    "fit thrust washers",
    "fit injectors",
)
