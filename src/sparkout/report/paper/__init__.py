"""Documents on paper: tagged, archivable PDF from plain data, the same bytes for the same data."""

from sparkout.report.paper.press import SIZES, PaperError, render

__all__ = ["SIZES", "PaperError", "render"]
