"""The form of a file of cautions as text."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict, Field

__all__ = ["CautionsForm"]


class _Form(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class CautionForm(_Form):
    """One caution."""

    caution: str = Field(description="its name", examples=["compressed air"])
    signal_word: str = Field(description="how grave", examples=["WARNING"])
    hazard: str = Field(description="what can happen")
    consequence: str = Field(description="what it does")
    avoid: str = Field(description="how to avoid it")
    operations: str = Field(description="the work it belongs to", examples=["wash, blow"])
    source: str = ""


class CautionsForm(_Form):
    """A whole file of cautions."""

    sparkout_cautions: str
    cautions: list[CautionForm] = Field(description="the cautions", examples=["- caution: …"])
