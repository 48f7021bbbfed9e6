"""The forms of a shop file and of a supply list as text."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict, Field

__all__ = ["BenchForm", "GaugeForm", "MasterForm", "ShopForm", "SupplyListForm"]


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
    certificate: str | None = Field(
        None, description="expanded uncertainty, k = 2 unless it says", examples=["U 0.002 mm"]
    )
    largest_error: str | None = Field(
        None, description="where it has no certificate", examples=["± 0.004 mm"]
    )
    number: str = Field("", description="of the certificate")
    date: str = Field("", description="of the certificate", examples=["2026-03-02"])
    until: str = Field("", description="last day it holds", examples=["2027-03-01"])
    repeatability: str = Field("", examples=["0.0008 mm from 30"])
    set_by: str = Field(
        "", description="masters it is set by; the nearest in size counts", examples=["RM-100"]
    )
    beside: str = Field("", description="gauges its readings go through", examples=["OM-2"])
    held: str = Field("", description="why it may not be used now", examples=["dropped"])
    material: str = "steel"
    note: str = ""


class MasterForm(_Form):
    """A setting ring, rod or block that gauges are set by."""

    master: str
    size: str = Field(description="as certified", examples=["99.9987 mm"])
    certificate: str | None = Field(None, examples=["U 0.001 mm"])
    largest_error: str | None = None
    number: str = ""
    date: str = ""
    until: str = ""
    held: str = ""
    material: str = "steel"
    note: str = ""


class BenchForm(_Form):
    """What holds of temperatures at the bench where a reading says nothing."""

    temperature: str | None = Field(None, examples=["20 ± 2 °C"])
    apart: str = Field("1 °C", description="how far part and gauge may differ then")
    thermometer: str = Field("1 °C", description="how far a temperature that was read may be off")


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
    without_gauge: dict[str, str] = Field(
        default_factory=dict,
        description="how far a reading may be off that names no gauge: a rule of thumb",
        examples=[{"length": "± 0.05 mm", "bore diameter": "± 0.02 mm"}],
    )
    bench: BenchForm | None = None
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
