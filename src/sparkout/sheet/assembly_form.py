"""The form of a data sheet's sections on assembly: tightening, lash, steps, first start."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, ConfigDict, Field, model_validator
from pydantic_core import PydanticCustomError

from sparkout.units import quoted

__all__ = ["LUBRICATION", "FirstStartForm", "JointForm", "LashForm", "MakerStepForm"]

LUBRICATION = (
    "Lubrication changes the clamp load of one torque by about a third (nut factor 0.20 dry, 0.15 "
    "oiled; common practice): take it from the book the torque is from."
)


class _Form(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class RetorqueForm(_Form):
    """What is tightened again after warm-up."""

    when: str = Field(examples=["after warm-up, cooled to the touch"])
    stages: list[str] = Field(description="stages", examples=["80 N·m"])


class JointForm(_Form):
    """One bolted joint."""

    fastener: str = Field(description="kind of fastener", examples=["bolt", "stud and nut"])
    count: str = Field(description="how many, on one feature", examples=["10"])
    thread: str = Field(description="thread size", examples=["M12 x 1.75", "1/2-13 UNC"])
    lubrication: str | None = Field(
        None,
        description="state of thread and seat",
        examples=["engine oil on thread and under the head"],
    )
    stages: list[str] = Field(
        description="stages in order: a torque, a turn, or loosening",
        examples=["snug 30 N·m", "80 N·m", "turn 90 deg", "loosen fully"],
    )
    sequence: str = Field(
        "",
        examples=["from the centre outward by rings", "from the centre outward by rows", "cross"],
    )
    order: str = Field("", description="fasteners in the maker's own order", examples=["A2, B2"])
    each: str = Field("", description="feature it is repeated on", examples=["rod", "head"])
    places: dict[str, str] = Field(
        default_factory=dict, description="fastener: x, y", examples=["A1: 0, 70 mm"]
    )
    rows: str | None = Field(None, description="rows along the joint, named A, B, …")
    columns: str | None = Field(None, description="fasteners in a row, numbered from 1")
    pitch: str | None = Field(None, description="distance of fasteners in a row")
    row_pitch: str | None = Field(None, description="distance of rows")
    circle: str | None = Field(None, description="diameter of the circle they stand on")
    use_again: str = Field("", examples=["yes", "no", "to a length"])
    longest: str | None = Field(None, description="free length a used one may have at most")
    tolerance: str | None = Field(None, description="of the torques", examples=["4 %"])
    angle_tolerance: str | None = Field(None, description="of the turns", examples=["5 deg"])
    after_warm_up: RetorqueForm | None = None
    note: str = ""
    source: str = ""

    @model_validator(mode="before")
    @classmethod
    def _bare(cls, value: Any) -> Any:
        """A torque alone, where a joint should stand."""
        if not isinstance(value, str):
            return value
        parts = {
            "found": f"{quoted(value)} alone",
            "expected": "thread, count, lubrication, stages and sequence below it",
            "remedy": LUBRICATION,
        }
        raise PydanticCustomError("misread", "{found}; expected {expected}", parts)


class LashValuesForm(_Form):
    """Lash of the intake and exhaust valves."""

    intake: str | None = Field(None, examples=["0.30 to 0.35 mm"])
    exhaust: str | None = Field(None, examples=["0.40 to 0.45 mm"])


class LashForm(_Form):
    """How valve lash is set, and what the crank and cam are like, as far as setting needs it."""

    method: str = Field(examples=["adjuster", "shim", "hydraulic"])
    cold: LashValuesForm | None = None
    hot: LashValuesForm | None = None
    positions: str = Field(
        "fewest", examples=["fewest", "each cylinder firing", "1 firing, 4 firing"]
    )
    intake_opens: str | None = Field(None, examples=["12 deg before top"])
    intake_closes: str | None = Field(None, examples=["40 deg after bottom"])
    exhaust_opens: str | None = Field(None, examples=["45 deg before bottom"])
    exhaust_closes: str | None = Field(None, examples=["10 deg after top"])
    ramp: str | None = Field(None, description="crank degrees off the base circle outside these")
    firing_angles: str = Field("", description="of firing top dead centres, in firing order")
    pin_angles: str = Field("", description="of the crankpins, in the direction of rotation")
    note: str = ""
    source: str = ""


class MakerStepForm(_Form):
    """The maker's word on one step of assembly."""

    step: str = Field(description="a step of the assembly sheet, or a name of its own")
    title: str = ""
    after: str = Field("", description="steps it comes after")
    do: list[str] = Field(default_factory=list)
    lubricant: str = ""
    sealant: str = ""
    orientation: str = ""
    fasteners: str = Field("", description="special fasteners and where they go")
    marks: str = Field("", description="timing marks")
    align: str = Field("", description="how it is located and aligned before tightening")
    parts: str = Field("", description="kinds of parts used")
    checks: dict[str, str] = Field(
        default_factory=dict, description="what is checked: limits, or 'seen'"
    )
    joint: str = Field("", description="joint of `tightening` that closes the step")
    operations: str = Field("", description="for the cautions: lifting, press …")
    source: str = ""


class RunInForm(_Form):
    """One stage of running in."""

    stage: str
    speed: str = ""
    load: str = ""
    time: str = ""
    watch: str = ""


class FirstStartForm(_Form):
    """Filling, priming, first start, running in."""

    oil: str = ""
    coolant: str = ""
    prime: str = ""
    checks: dict[str, str] = Field(default_factory=dict, examples=["at least 1.5 bar"])
    run_in: list[RunInForm] = Field(default_factory=list)
    afterwards: list[str] = Field(default_factory=list)
    source: str = ""
