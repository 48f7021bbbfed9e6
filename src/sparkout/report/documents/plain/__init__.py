"""Every characteristic in words that somebody who pays for an engine understands."""

from __future__ import annotations

from types import MappingProxyType

from sparkout.report.documents.plain.block import BLOCK
from sparkout.report.documents.plain.crank import CRANK
from sparkout.report.documents.plain.form import Plain
from sparkout.report.documents.plain.gear import GEAR
from sparkout.report.documents.plain.head import HEAD
from sparkout.report.documents.plain.more import MORE
from sparkout.report.documents.plain.rods import RODS

__all__ = ["PLAIN", "Plain"]

PLAIN = MappingProxyType({row.name: row for row in (*BLOCK, *CRANK, *RODS, *HEAD, *GEAR, *MORE)})
"""By the name of the characteristic. Common practice throughout."""
