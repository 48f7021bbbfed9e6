"""A finding in words: the verdict in one sentence, and what would settle it."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from sparkout.engine.characteristics import BY_NAME, Derive
from sparkout.engine.dimension import Dimension, Key
from sparkout.fits.ratio import ratio_of
from sparkout.judge.advice import Doubt, Part, advice, parts_of
from sparkout.judge.checks import Check
from sparkout.judge.verdict import Verdict
from sparkout.judge.words import Words, blades
from sparkout.measure.gauges.sources import proves_nothing
from sparkout.sheet.model import Bounds

TYPE_CHECKING = False
if TYPE_CHECKING:
    from sparkout.judge.finding import Finding

__all__: list[str] = []


def check_name(check: Check) -> str:
    """`bore 2 diameter`, `guide I3, intake stem clearance`: a check as it is spoken of."""
    feature, name = check.instance.feature, check.limit.name
    kind = feature.rsplit(" ", 1)[0]
    if feature == name or name.startswith(feature + " "):
        return name
    if name == kind or name.startswith(kind + " "):
        return f"{feature}{name[len(kind) :]}"
    return f"{feature}, {name}"


def span_of(finding: Finding, words: Words) -> str:
    value, name = finding.value, finding.check.limit.characteristic
    assert value is not None
    if BY_NAME[name].derive in (Derive.NEIGHBOUR, Derive.ACROSS):
        return words.value(max(abs(value.low.value), abs(value.high.value)), name)
    return words.reading(value.low, value.high, name)


def reason_of(finding: Finding, value: Dimension, words: Words) -> str:
    check = finding.check
    name = check.limit.characteristic
    assert finding.bounds is not None
    if BY_NAME[name].dimension == "test":
        note = f" ({value.note})" if value.note else ""
        result = "passed" if finding.plain is Verdict.WITHIN else "failed"
        return f"{check_name(check)}: {result}{note}."
    shown = span_of(finding, words)
    limit = words.bounds(finding.bounds, name)
    thumb = f", a rule of thumb ({check.limit.thumb})" if check.limit.thumb else ""
    head = f"{check_name(check)} is {shown}"
    where = _deciding_place(finding, value)
    if where:
        head += f" ({where})"
    kind = "limit" if check.limit.new is None or check.limit.service is None else (
        f"{finding.side} limit"
    )  # fmt: skip
    match finding.verdict:
        case Verdict.WITHIN:
            return f"{head}: within the {kind}, {limit}{thumb}."
        case Verdict.OUT:
            by = _by(finding, words)
            return f"{head}: outside the {kind}, {limit}{thumb}{by}."
        case Verdict.STALE:
            return f"{head}, but later work moved what it was measured from: read it again."
    assert finding.high is not None
    assert finding.low is not None
    if proves_nothing((*finding.low.components, *finding.high.components)):
        side = "inside" if finding.plain is Verdict.WITHIN else "outside"
        return f"{head}: {side} the {kind}, {limit}{thumb}, but not proven."
    ends = blades(finding.high) if value.single else None
    if ends is not None and _splits(finding.bounds, ends):
        return f"{head}: the {kind}, {limit}{thumb}, lies between the two blades: not proven."
    u = words.value(Fraction(max(finding.low.u, finding.high.u)) * 2, name)
    side = "inside" if finding.plain is Verdict.WITHIN else "outside"
    return (
        f"{head}: {side} the {kind}, {limit}{thumb}, but the reading is only good to ± {u}, so it "
        f"is not proven."
    )


def ratio_reason(finding: Finding, sizes: Mapping[Key, Dimension]) -> str:
    """A ratio is judged through its volumes; the sentence gives the ratio itself."""
    ratio = ratio_of(finding.check.instance, sizes)
    number = finding.check.instance.feature.rsplit(" ", 1)[-1]
    assert ratio is not None
    assert finding.bounds is not None
    shown = " to ".join(dict.fromkeys(f"{value:.2f}" for value in ratio))
    word = {Verdict.WITHIN: "within", Verdict.OUT: "outside"}.get(finding.verdict, "not proven in")
    return f"compression ratio of cylinder {number} is {shown}: {word} {finding.bounds.typed}."


def _deciding_place(finding: Finding, value: Dimension) -> str:
    bounds = finding.bounds
    if bounds is None or value.single:
        return value.where_high if value.where_high == value.where_low else ""
    if bounds.high is not None and (bounds.low is None or value.high.value > bounds.high):
        return f"largest at {value.where_high}" if value.where_high else ""
    if bounds.low is not None and (bounds.high is None or value.low.value < bounds.low):
        return f"smallest at {value.where_low}" if value.where_low else ""
    return ""


def _splits(bounds: Bounds, ends: tuple[Fraction, Fraction]) -> bool:
    """Whether a limit stands between two blades."""
    low, high = ends
    return any(end is not None and low <= end <= high for end in (bounds.low, bounds.high))


def _by(finding: Finding, words: Words) -> str:
    """How far out: `, by 0.046 mm`; between two blades, `, by 0.01 to 0.03 mm`."""
    name = finding.check.limit.characteristic
    over = _beyond(finding)
    if not over:
        return ""
    ends = blades(finding.high) if finding.high is not None else None
    if ends is None or finding.low != finding.high:
        return f", by {words.value(over, name)}"
    half = (ends[1] - ends[0]) / 2
    if over <= half:
        return f", by up to {words.value(over + half, name)}"
    return f", by {words.span(over - half, over + half, name)}"


def _beyond(finding: Finding) -> Fraction:
    bounds, low, high = finding.bounds, finding.low, finding.high
    assert bounds is not None
    assert low is not None
    assert high is not None
    over = high.value - bounds.high if bounds.high is not None else Fraction(0)
    under = bounds.low - low.value if bounds.low is not None else Fraction(0)
    return max(over, under, Fraction(0))


def settled_by(finding: Finding) -> str:
    if finding.verdict is Verdict.STALE:
        return "Read it again from the new face."
    if finding.verdict is not Verdict.NOT_PROVEN:
        return ""
    low_end = _low_is_doubtful(finding)
    value = finding.low if low_end else finding.high
    assert value is not None
    assert finding.bounds is not None
    terms = finding.check.instance.terms
    if finding.key in finding.sizes or not terms or finding.check.instance.inner:
        assert finding.value is not None
        parts: tuple[Part, ...] = (Part(finding.key, Fraction(1), finding.value, value.components),)
    else:
        parts = parts_of(terms, finding.sizes, low_end=low_end)
    limit = finding.bounds.low if low_end else finding.bounds.high
    name = finding.check.limit.characteristic
    shown = "" if limit is None else finding.words.value(abs(limit), name)
    return advice(Doubt(value, finding.bounds, parts, finding.basis, shown))


def _low_is_doubtful(finding: Finding) -> bool:
    """Which end of the range keeps it from being proven: the one nearer to its limit."""
    bounds, low, high = finding.bounds, finding.low, finding.high
    assert bounds is not None
    assert low is not None
    assert high is not None
    if bounds.low is None or bounds.high is None:
        return bounds.high is None
    return float(low.value - bounds.low) / (low.u or 1.0) < (
        float(bounds.high - high.value) / (high.u or 1.0)
    )


def to_read(check: Check, sizes: Mapping[Key, Dimension]) -> str:
    missing = [key for _, key in check.instance.terms if key not in sizes]
    known = BY_NAME[check.limit.characteristic]
    if len(check.instance.terms) > 1 and missing:
        needs = ", ".join(str(key) for key in missing[:3])
        return f"Needs {needs}."
    where = f": {known.places}" if known.places else ""
    if known.gauge.startswith("the "):
        return f"Needs {known.gauge}{where}."
    how = f" with {known.gauge}" if known.gauge else ""
    act = "Test" if known.dimension == "test" else "Read"
    return f"{act} it{how}{where}."
