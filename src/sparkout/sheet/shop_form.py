"""The forms of a shop file and of a supply list as text."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict, Field

__all__ = ["ShopForm", "SupplyListForm"]


class _Form(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class AboutForm(_Form):
    """The shop itself."""

    name: str
    currency: str
    units: str = Field("mm", examples=["mm", "inch"])
    confidence: str = "95 %"
    rule: str = Field(
        "guarded by risk",
        description="decision rule; the reports name it",
        examples=["guarded by risk", "prove conformity", "simple acceptance"],
    )
    tax: str = "0 %"
    taxes: dict[str, str] = Field(
        default_factory=dict,
        description="tax by category where it is not the general one",
        examples=[{"labour": "9 %", "parts": "20 %", "sent out": "20 %"}],
    )
    consumables: str = Field("0 %", description="share of labour")
    contingency: str = "0 %"
    hours_a_day: str = "8 h"


class PassesForm(_Form):
    """How an operation takes its stock off on this shop's machine."""

    rough: str = Field(description="depth of a roughing pass", examples=["0.40 mm"])
    finish: str = Field(description="depth of a finishing pass", examples=["0.10 mm"])
    finishes: str | None = Field(None, description="finishing passes; 1 unless it says")
    ends: str = Field("", examples=["spark out for ten turns"])


class OperationForm(_Form):
    """What one operation costs and holds."""

    operation: str
    rate: str
    set_up: str | None = None
    each: str | None = None
    machine: str = ""
    step: str | None = None
    smallest_cut: str | None = None
    holds: dict[str, str] = Field(default_factory=dict)
    outside: str | None = Field(None, description="price when it is sent out")
    outside_each: str | None = None
    outside_days: str | None = None
    passes: PassesForm | None = None
    note: str = ""


class GaugeForm(_Form):
    """One gauge and what its certificate and its study say."""

    gauge: str
    kind: str
    measures: str = "length"
    resolution: str
    certificate: str = Field(examples=["U 0.002 mm"])
    number: str = ""
    date: str = ""
    until: str = ""
    repeatability: str = Field("", examples=["0.0008 mm from 30"])
    material: str = "steel"
    note: str = ""


class MasterForm(_Form):
    """A setting ring or standard."""

    master: str
    size: str
    certificate: str
    material: str = "steel"


class SupplyForm(_Form):
    """What a part costs and where it is."""

    part: str
    price: str
    sold_in: str = Field("each", examples=["each", "set of 4"])
    on_hand: str | None = None
    days: str | None = None
    note: str = ""


class SupplyListForm(_Form):
    """A supply list for one family of engines."""

    sparkout_supply: str
    supply: list[SupplyForm]


class ValueOfLifeForm(_Form):
    """The shop's rule for what running longer before the first limit of wear is worth."""

    per_1000_h: str | None = Field(None, description="money for 1000 hours more")
    at_most: str | None = Field(None, description="hours beyond these count for nothing")
    per_tenth_of_wear: str | None = Field(
        None, description="money for a tenth of the wear allowed, where hours are not known"
    )
    rate_steady_within: str | None = Field(
        None, description="how far wear to come may differ from past wear (1 sd)"
    )


class ShopForm(_Form):
    """A whole shop file."""

    sparkout_shop: str
    shop: AboutForm
    rates: dict[str, str]
    operations: list[OperationForm]
    gauges: list[GaugeForm] = Field(default_factory=list)
    masters: list[MasterForm] = Field(default_factory=list)
    supply: list[SupplyForm] = Field(default_factory=list)
    allowances: dict[str, str] = Field(
        default_factory=dict,
        description="what the shop leaves or allows, instead of common practice",
        examples=[{"hone stock": "0.05 mm", "centre offset": "0.08 mm"}],
    )
    metals: dict[str, str] = Field(
        default_factory=dict,
        description="what parts are made of, by grade",
        examples=[{"bore": "grey iron G3000"}],
    )
    cutters: dict[str, str] = Field(
        default_factory=dict,
        description="angles of the shop's seat cutters",
        examples=[{"top cutter angle": "30 deg", "throat cutter angle": "60 deg"}],
    )
    value_of_life: ValueOfLifeForm | None = None
