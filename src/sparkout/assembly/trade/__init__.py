"""The steps of the trade, in the order a careful assembler takes them; all common practice.

A step is in an engine's sheet only where its features are on that engine. What the maker says
otherwise stands in the data sheet and goes before these.
"""

from sparkout.assembly.trade.bottom import BOTTOM
from sparkout.assembly.trade.ready import READY
from sparkout.assembly.trade.row import Row
from sparkout.assembly.trade.start import START
from sparkout.assembly.trade.top import TOP
from sparkout.assembly.trade.trial import TRIAL

__all__ = ["TRADE", "Row"]

TRADE: tuple[Row, ...] = (*READY, *TRIAL, *BOTTOM, *TOP, *START)
