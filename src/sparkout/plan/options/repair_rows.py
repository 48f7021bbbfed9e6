"""Ways to mend what stands alone, one row each; a data sheet and a shop's file add rows of theirs.

A row says what is decided together (springs and followers go in sets), by which operation or kind
of part (one per feature), and what is as new afterwards. Common practice throughout.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from sparkout.sheet.model import RepairSpec

__all__ = ["GOES_WITH", "LISTED", "REPAIRS"]

REPAIRS: tuple[RepairSpec, ...] = (
    RepairSpec("spring", "new set", "fit a new set of valve springs",
           ("spring free length", "spring load", "spring squareness"), part="spring",
           together=True),
    RepairSpec("follower", "new set", "fit new followers, all together",
           ("follower diameter", "follower clearance", "follower foot"), part="follower",
           together=True),
    RepairSpec("pushrod", "replace", "fit a new {it}", ("pushrod runout",), part="pushrod"),
    RepairSpec("rod bolt", "new set", "fit a new set of rod bolts", ("rod bolt length",),
           part="rod bolt", together=True),
    RepairSpec("damper", "replace", "fit a new damper", ("damper mark offset", "damper runout"),
           part="damper"),
    RepairSpec("oil pump", "lap", "lap the oil pump body", ("oil pump end clearance",),
           operation="lap oil pump"),
    RepairSpec("oil pump", "replace", "fit a new oil pump",
           ("oil pump end clearance", "oil pump radial clearance"), part="oil pump"),
    RepairSpec("cam journal", "new bushes", "fit new cam bushes and ream them in line",
           ("cam clearance",), operation="fit cam bushes", part="cam bush", together=True),
    RepairSpec("rocker", "bush", "bush {it}", ("rocker clearance",), operation="bush rocker"),
    RepairSpec("lobe", "regrind", "regrind the camshaft", ("lobe lift",),
           operation="regrind camshaft", together=True),
    RepairSpec("flywheel", "skim", "skim the flywheel", ("flywheel runout",),
           operation="skim flywheel"),
    RepairSpec("crankshaft", "straighten", "straighten the crankshaft", ("crankshaft runout",),
           operation="straighten crankshaft"),
    RepairSpec("gear mesh", "replace", "fit new gears at {it}", ("gear backlash", "gear runout"),
           part="gears"),
)  # fmt: skip

# Offered only where the sheet sells the part or the shop lists the operation: without either, what
# is out is told as out, to be decided by a person.
LISTED: tuple[RepairSpec, ...] = (
    RepairSpec("head bolt", "new set", "fit a new set of head bolts", ("head bolt length",),
           part="head bolt", together=True),
    RepairSpec("main bolt", "new set", "fit a new set of main bolts", ("main bolt length",),
           part="main bolt", together=True),
    RepairSpec("lobe", "new camshaft", "fit a new camshaft", ("lobe lift",), part="camshaft",
           together=True),
    RepairSpec("follower", "oversize", "ream the bore of {it} and fit an oversize follower",
           ("follower clearance", "follower foot"), operation="ream follower bores",
           part="oversize follower"),
    RepairSpec("rocker", "reface", "reface the pad of {it}", ("rocker pad",),
           operation="reface rocker"),
    RepairSpec("rocker", "replace", "fit a new {it}", ("rocker clearance", "rocker pad"),
           part="rocker"),
    RepairSpec("timing chain", "replace", "fit a new timing chain", ("chain stretch",),
           part="timing chain"),
    RepairSpec("damper", "sleeve hub", "sleeve the hub of the damper", ("damper hub fit",),
           operation="sleeve damper hub"),
    RepairSpec("flywheel", "ring gear", "fit a new ring gear", ("ring gear",),
           operation="fit ring gear", part="ring gear"),
    RepairSpec("camshaft", "straighten", "straighten the camshaft", ("camshaft runout",),
           operation="straighten camshaft"),
    RepairSpec("camshaft", "thrust plate", "fit a new thrust plate", ("cam end float",),
           part="cam thrust plate"),
    RepairSpec("block", "stitch", "stitch the crack in the block", ("block crack test",
           "block leak test"), operation="stitch block"),
    RepairSpec("head", "straighten", "straighten the {it}", ("cam line straightness",),
           operation="straighten head"),
    RepairSpec("head", "mend crack", "mend the crack in the {it}", ("head crack test",
           "head leak test"), operation="mend head"),
    RepairSpec("head", "skim manifold face", "skim the manifold face of the {it}",
           ("manifold face flatness",), operation="skim manifold face"),
)  # fmt: skip

# What must be new with what: a cam runs only with followers that have not run on another.
GOES_WITH: Mapping[tuple[str, str], tuple[str, str]] = MappingProxyType(
    {
        ("lobe", "regrind"): ("follower", "new followers go with a reground camshaft"),
        ("lobe", "new camshaft"): ("follower", "new followers go with a new camshaft"),
    }
)
