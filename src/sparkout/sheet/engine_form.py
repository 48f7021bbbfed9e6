"""The form of a data sheet as text: which keys it may have. Figures are read by `engine_sheet`."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict, Field

from sparkout.sheet.assembly_form import FirstStartForm, JointForm, LashForm, MakerStepForm

__all__ = ["EngineForm", "LimitForm", "PartForm", "PriorForm", "SheetForm"]


class _Form(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class BankForm(_Form):
    """A row of cylinders with one deck."""

    bank: str = Field(description="name of the bank", examples=["left"])
    cylinders: str = Field(
        description="its cylinders from the end of cylinder 1", examples=["1-3-5-7"]
    )


class EngineForm(_Form):
    """How the engine is laid out and numbered."""

    name: str
    note: str = ""
    layout: str = Field(examples=["inline", "V", "flat", "single"])
    cycle: str = Field("four-stroke diesel", examples=["four-stroke petrol"])
    cylinders: str
    banks: list[BankForm] = Field(default_factory=list)
    bank_angle: str | None = None
    cylinder_1: str = Field("", description="which end cylinder 1 is at")
    firing_order: str
    rotation: str = ""
    thrust_side: str = ""
    main_bearings: str
    cylinder_kind: str = Field(examples=["parent bore", "dry flanged liner"])
    camshaft: str = Field("in the block", examples=["in the block", "overhead"])
    cam_bearings: str | None = None
    intake_valves: str | None = Field(None, description="per cylinder")
    exhaust_valves: str | None = Field(None, description="per cylinder")
    heads: str = Field("per bank", examples=["per bank", "per cylinder", "none"])
    valve_row: str = ""
    rods_on_pin: str = Field("", description="rods that share a crankpin: 1-2, 3-4")
    gears: str = ""
    rings: str = "top, second, oil"
    without: str = Field("", description="kinds of feature this engine does not have")


class LimitForm(_Form):
    """What one characteristic may be, as new and in service."""

    new: str | None = None
    service: str | None = None
    new_inch: str | None = Field(None, description="the inch column, checked against `new`")
    service_inch: str | None = None
    statistic: str = "every position"
    held: str = ""
    judged: str = Field("always", examples=["always", "when new"])
    binding: str = Field("must", examples=["must", "should"])
    source: str = ""
    rule_of_thumb: str = Field("", description="name of the rule of thumb to fill this limit with")
    note: str = ""


class PartForm(_Form):
    """One part as sold for this engine."""

    part: str
    kind: str
    sizes: dict[str, str] = Field(default_factory=dict)
    for_bore: str | None = None
    undersize: str | None = None
    for_largest_protrusion: str | None = None
    supplied: str = "finished"
    fits: str = ""
    with_: str = Field("", alias="with")
    note: str = ""
    source: str = ""


class RepairForm(_Form):
    """A way to mend something that the program does not know of itself."""

    repair: str
    of: str = Field(description="kind of feature", examples=["water pump"])
    words: str = Field("", description="what is done, in words")
    makes_new: str = Field(description="characteristics that are as new afterwards")
    operation: str = ""
    part: str = ""
    together: str = "no"


class PriorForm(_Form):
    """How engines of this family come in; a forecast draws what is not measured from it."""

    found: str | None = Field(
        None, description="eight engines in ten lie in this range", examples=["0.03 to 0.12 mm"]
    )
    fails: str | None = Field(None, description="for a test: chance that it is failed")
    alike: str | None = Field(
        None, description="share of the scatter that the features of one engine have in common"
    )
    source: str = Field("", description="none: a rule of thumb, and every output says so")


class SheetForm(_Form):
    """A whole data sheet."""

    sparkout_sheet: str
    engine: EngineForm
    geometry: dict[str, str] = Field(default_factory=dict)
    sources: dict[str, str] = Field(default_factory=dict)
    limits: dict[str, LimitForm] = Field(default_factory=dict)
    parts: list[PartForm] = Field(default_factory=list)
    repairs: list[RepairForm] = Field(default_factory=list)
    tightening: dict[str, JointForm] = Field(default_factory=dict)
    lash: LashForm | None = None
    assembly: list[MakerStepForm] = Field(default_factory=list)
    first_start: FirstStartForm | None = None
    priors: dict[str, PriorForm] = Field(default_factory=dict)
