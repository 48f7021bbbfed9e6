"""What must come before what in the shop, and why.

Each row: an operation, one that may only come after it, and the reason, said to the machinist.
Sources: common practice throughout; several public Army manuals say the same of single rows
(seats after surfacing, crack test after grinding, wash after every abrasive step).
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

__all__ = ["AFTER_KIND", "PRECEDENCE", "STAGES", "Before"]


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
    Before("build up main journals", "grind main journals", "what is built up is then ground"),
    Before("build up rod journals", "grind rod journals", "what is built up is then ground"),
    Before("straighten crankshaft", "build up main journals", "metal is put on a straight shaft"),
    Before("straighten crankshaft", "build up rod journals", "metal is put on a straight shaft"),
    Before("grind main journals", "grind thrust faces", "the wheel is dressed for the journal "
           "first"),
    Before("grind thrust faces", "crack-test crankshaft", "grinding can crack: test afterwards"),
    Before("grind thrust faces", "fit thrust washers", "end play goes by the washers in hand"),
    Before("stitch block", "align-hone mains", "a mended casting is cut last, when it has settled"),
    Before("stitch block", "line-bore mains", "a mended casting is cut last, when it has settled"),
    Before("stitch block", "surface deck", "a mended casting is cut last, when it has settled"),
    Before("align-hone mains", "surface deck", "the deck is set up from the main bores"),
    Before("align-hone mains", "bore cylinder", "the bar is set square to the main bores"),
    Before("line-bore mains", "surface deck", "the deck is set up from the main bores"),
    Before("line-bore mains", "bore cylinder", "the bar is set square to the main bores"),
    Before("recut ledge", "surface deck", "ledges are cut first, so that one deck cut sized for "
           "flatness and protrusion together is enough"),
    Before("recut ledge", "fit dry liner", "the flange must sit on the new ledge"),
    Before("surface deck", "fit dry liner", "with liners in, a deck cut takes the flanges flush"),
    Before("hone parent bore", "fit dry liner", "the liner takes the shape of its parent bore"),
    Before("bore parent bore", "hone parent bore", "honing takes off what the boring tool tore"),
    Before("bore parent bore", "fit dry liner", "the parent bore is made to the liners in hand"),
    Before("recut ledge", "fit wet liner", "the flange must sit on the new ledge"),
    Before("surface deck", "fit wet liner", "with liners in, a deck cut takes the flanges flush"),
    Before("fit wet liner", "bore cylinder", "a rough liner is bored in the block it runs in"),
    Before("fit wet liner", "hone cylinder", "a liner is honed clamped as it will run"),
    Before("fit dry liner", "hone cylinder", "a rough liner is honed after it is pressed"),
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
    Before("resize rod", "match rod weights", "weights are matched when the rods are done"),
    Before("re-bush rod", "match rod weights", "weights are matched when the rods are done"),
    Before("straighten head", "surface head", "a head is straightened before its face is cut"),
    Before("mend head", "surface head", "cracks are mended before the face is cut"),
    Before("surface head", "replace guide", "guides are out of the way of the cutter"),
    Before("surface head", "line guide", "guides are out of the way of the cutter"),
    Before("surface head", "ream guide", "the head is straight when the guide is reamed"),
    Before("line guide", "cut seat", "the pilot runs in the guide"),
    Before("ream guide", "cut seat", "the pilot runs in the guide"),
    Before("line guide", "fit seat insert", "the pilot runs in the guide"),
    Before("ream guide", "fit seat insert", "the pilot runs in the guide"),
    Before("cut seat", "shim spring", "shims go by the fitted length with seats final"),
    Before("fit seat insert", "shim spring", "shims go by the fitted length with seats final"),
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
    "true crankshaft",
    "build up main journals",
    "build up rod journals",
    "grind main journals",
    "grind rod journals",
    "grind thrust faces",
    "crack-test crankshaft",
    "polish journals",
    "stitch block",
    "line-bore mains",
    "align-hone mains",
    "bore parent bore",
    "hone parent bore",
    "sleeve cylinder",
    "recut ledge",
    "surface deck",
    "fit dry liner",
    "fit wet liner",
    "bore cylinder",
    "hone cylinder",
    "deglaze cylinder",
    "resize rod",
    "straighten rod",
    "crack-test rod",
    "re-bush rod",
    "match rod weights",
    "match piston weights",
    "straighten head",
    "mend head",
    "surface head",
    "skim manifold face",
    "replace guide",
    "line guide",
    "ream guide",
    "fit seat insert",
    "reface valve",
    "cut seat",
    "grind stem tips",
    "shim spring",
    "ream follower bores",
    "fit cam bushes",
    "straighten camshaft",
    "regrind camshaft",
    "bush rocker",
    "reface rocker",
    "lap oil pump",
    "sleeve damper hub",
    "fit ring gear",
    "skim flywheel",
    "slot sprocket",
    "fit thrust washers",
    "fit injectors",
)

# An operation that only this shop's file or a data sheet knows stands behind these, by the kind of
# feature it is done to; on any other kind it stands last.
AFTER_KIND: Mapping[str, str] = MappingProxyType(
    {
        "block": "stitch block",
        "main housing": "align-hone mains",
        "main journal": "polish journals",
        "rod journal": "polish journals",
        "crankshaft": "polish journals",
        "parent bore": "hone parent bore",
        "ledge": "recut ledge",
        "deck": "surface deck",
        "liner": "fit wet liner",
        "bore": "deglaze cylinder",
        "rod": "match rod weights",
        "rod bolt": "match rod weights",
        "rod shell": "match rod weights",
        "piston": "match piston weights",
        "ring": "match piston weights",
        "head": "skim manifold face",
        "guide": "ream guide",
        "seat": "cut seat",
        "valve": "grind stem tips",
        "spring": "shim spring",
        "follower": "ream follower bores",
        "cam bush": "fit cam bushes",
        "cam journal": "regrind camshaft",
        "lobe": "regrind camshaft",
        "camshaft": "regrind camshaft",
        "rocker": "reface rocker",
        "oil pump": "lap oil pump",
        "damper": "sleeve damper hub",
        "flywheel": "skim flywheel",
        "injector": "fit injectors",
    }
)
