"""A finding: one limit held against what is known, with its verdict and the reason."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from fractions import Fraction

from sparkout.engine.characteristics import BY_NAME, Derive
from sparkout.engine.dimension import Dimension, How, Key
from sparkout.fits import evaluate
from sparkout.fits.ratio import ratio_of
from sparkout.judge.advice import Doubt, Part, advice, parts_of
from sparkout.judge.basis import Basis
from sparkout.judge.checks import Check
from sparkout.judge.proof import DECISION_RULES, Proof, Range, decide, prove_all
from sparkout.judge.words import Words, blades
from sparkout.measure.estimate import Estimate
from sparkout.measure.gauges.register import Register
from sparkout.measure.gauges.sources import marks_of, proves_nothing
from sparkout.sheet.model import Bounds, Side

__all__ = ["Finding", "Verdict", "judge", "judge_all", "judge_each"]


class Verdict(StrEnum):
    """What a limit says of a value."""

    WITHIN = "within"
    NOT_PROVEN = "not proven"
    OUT = "out"
    NOT_MEASURED = "not measured"
    STALE = "stale"
    NO_LIMIT = "no limit given"


@dataclass(frozen=True, slots=True)
class Finding:
    """One check with its verdict.

    plain: the comparison as the trade reads it, without uncertainty. side: `new` or `service`, the
    question that was asked. probability: of conforming, None where nothing was measured. reason and
    settle are worded when they are read: a plan asks for few of hundreds.
    """

    check: Check
    verdict: Verdict
    plain: Verdict
    side: str
    bounds: Bounds | None
    low: Estimate | None
    high: Estimate | None
    how: How | None
    probability: float | None
    entries: tuple[str, ...] = ()
    value: Dimension | None = field(default=None, repr=False)
    words: Words = field(default=Words(), repr=False, compare=False)
    sizes: Mapping[Key, Dimension] = field(default_factory=dict, repr=False, compare=False)
    basis: Basis = field(default_factory=Basis, repr=False, compare=False)

    @property
    def key(self) -> Key:
        return self.check.key

    @property
    def reason(self) -> str:
        """The verdict in one sentence, with what was found and what is allowed."""
        if self.verdict is Verdict.NOT_MEASURED:
            return f"{_name(self.check)}: not measured."
        assert self.value is not None
        if self.verdict is Verdict.NO_LIMIT:
            return f"{_name(self.check)}: {_span(self, self.words)}; no limit given."
        said = (
            _ratio_reason(self, self.sizes)
            if self.check.instance.inner
            else _reason(self, self.value, self.words)
        )
        return "; ".join((said.removesuffix("."), *self.marks)) + "."

    @property
    def marks(self) -> tuple[str, ...]:
        """What has to be said of the readings behind it: a rule of thumb, an expired certificate.

        A size that was itself a rule of thumb of the data sheet is marked at its limit.
        """
        if self.low is None or self.high is None:
            return ()
        return marks_of((*self.low.components, *self.high.components))

    @property
    def settle(self) -> str:
        """What would settle a verdict that is not settled, or what to read."""
        if self.verdict is Verdict.NOT_MEASURED:
            return _to_read(self.check, self.sizes)
        return "" if self.value is None else _settle(self)


def judge_all(
    checks: tuple[Check, ...],
    sizes: Mapping[Key, Dimension],
    *,
    side: str = Side.SERVICE,
    confidence: float = 0.95,
    rule: str = DECISION_RULES[0],
    words: Words | None = None,
    gauges: Register | None = None,
) -> tuple[Finding, ...]:
    """Every check judged, in order: within, not proven, out, not measured or stale, and why.

    A fit that was itself read is judged as read; else it is worked out from its sizes. Parts that
    go back as new or machined are judged by the new limits, all others by those asked for.

    checks: limits at features, as `checks` gives them [-].
    sizes: what is known, by feature and characteristic [mm, or the unit of the characteristic].
    side: `service` or `new`, the limits a part in use is held to [-].
    confidence: probability the decision rule asks for [-], between 0.5 and 1.
    rule: one of DECISION_RULES, the shop's decision rule [-].
    words: how values are said; millimetres where not given [-].
    gauges: what the shop could read again with, for what would settle a doubt [-].
    Returns one finding for each check, in the same order.
    Holds for the exact distribution of the errors of each end of a range.
    Source: ISO 14253-1:2017, 5; JCGM 106:2012, 7 and 8.

    >>> from sparkout.cli.jobargs import demo_folder
    >>> from sparkout.load import files_in, load_job
    >>> job, _ = load_job(files_in(demo_folder("farm_single")))
    >>> [str(f.verdict) for f in judge_all(job.checks[:3], job.state.sizes)]
    ['within', 'within', 'out']
    """
    limits = [(check, sizes) for check in checks]
    return judge_each(
        limits, side=side, confidence=confidence, rule=rule, words=words, gauges=gauges
    )


def judge_each(
    limits: Sequence[tuple[Check, Mapping[Key, Dimension]]],
    *,
    side: str = Side.SERVICE,
    confidence: float = 0.95,
    rule: str = DECISION_RULES[0],
    words: Words | None = None,
    gauges: Register | None = None,
) -> tuple[Finding, ...]:
    """Checks judged as `judge_all` judges them, each with sizes of its own.

    limits: limits at features, each with what is known where it is judged, by feature and
        characteristic [mm, or the unit of the characteristic].
    side: `service` or `new`, the limits a part in use is held to [-].
    confidence: probability the decision rule asks for [-], between 0.5 and 1.
    rule: one of DECISION_RULES, the shop's decision rule [-].
    words: how values are said; millimetres where not given [-].
    gauges: what the shop could read again with, for what would settle a doubt [-].
    Returns one finding for each check, in the same order.
    Holds for the exact distribution of the errors of each end of a range.
    Source: ISO 14253-1:2017, 5; JCGM 106:2012, 7 and 8.

    >>> from sparkout.cli.jobargs import demo_folder
    >>> from sparkout.load import files_in, load_job
    >>> job, _ = load_job(files_in(demo_folder("farm_single")))
    >>> first = job.checks[0]
    >>> [str(f.verdict) for f in judge_each([(first, job.state.sizes), (first, {})])]
    ['within', 'not measured']
    """
    said = words or Words()
    basis = Basis(rule, confidence, gauges or Register())
    asked = [_asked(check, sizes, side, said) for check, sizes in limits]
    ranges = [
        Range(item.value.low, item.value.high, item.bounds.low, item.bounds.high)
        for item in asked
        if isinstance(item, _Asked)
    ]
    proofs = iter(zip(ranges, prove_all(ranges), strict=True))
    found = []
    for item, (_, sizes) in zip(asked, limits, strict=True):
        if isinstance(item, Finding):
            found.append(item)
            continue
        held, proof = next(proofs)
        verdict = Verdict(decide(held, proof, rule, confidence).value)
        if verdict is not Verdict.NOT_PROVEN and _nothing_known(held, verdict):
            verdict = Verdict.NOT_PROVEN
        found.append(replace(_found(item, proof, verdict, sizes, said), basis=basis))
    return tuple(found)


def judge(
    check: Check,
    sizes: Mapping[Key, Dimension],
    *,
    side: str = Side.SERVICE,
    confidence: float = 0.95,
    rule: str = DECISION_RULES[0],
    words: Words | None = None,
    gauges: Register | None = None,
) -> Finding:
    """One check, as `judge_all` judges it.

    check: a limit at a feature [-].
    sizes: what is known, by feature and characteristic [mm, or the unit of the characteristic].
    side: `service` or `new`, the limits a part in use is held to [-].
    confidence: probability the decision rule asks for [-], between 0.5 and 1.
    rule: one of DECISION_RULES, the shop's decision rule [-].
    words: how values are said; millimetres where not given [-].
    gauges: what the shop could read again with [-].
    Returns the finding.
    Holds for the exact distribution of the errors of each end of a range.
    Source: ISO 14253-1:2017, 5; JCGM 106:2012, 7 and 8.

    >>> from sparkout.cli.jobargs import demo_folder
    >>> from sparkout.load import files_in, load_job
    >>> job, _ = load_job(files_in(demo_folder("farm_single")))
    >>> str(judge(job.checks[0], {}).verdict)
    'not measured'
    """
    return judge_all((check,), sizes, side=side, confidence=confidence, rule=rule, words=words,
                     gauges=gauges)[0]  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Asked:
    """A check that can be judged: what is known and what is allowed."""

    check: Check
    value: Dimension
    side: str
    bounds: Bounds


def _asked(
    check: Check, sizes: Mapping[Key, Dimension], side: str, words: Words
) -> _Asked | Finding:
    value = _value(check, sizes)
    limit = check.limit
    if value is None:
        none = Verdict.NOT_MEASURED
        return Finding(check, none, none, side, limit.side(side), None, None, None, None,
                       words=words, sizes=sizes)  # fmt: skip
    if value.as_new:
        side = Side.NEW
    bounds = limit.side(side)
    if value.free or (limit.judged == "when new" and side != Side.NEW):
        bounds = None
    if bounds is not None and value.size:
        bounds = _moved(bounds, value.size)
    if bounds is None:
        none = Verdict.NO_LIMIT
        return Finding(check, none, none, side, None, value.low, value.high, value.how, None,
                       value.entries, value, words, sizes)  # fmt: skip
    return _Asked(check, value, side, bounds)


def _found(
    asked: _Asked, proof: Proof, verdict: Verdict, sizes: Mapping[Key, Dimension], words: Words
) -> Finding:
    value = asked.value
    return Finding(
        asked.check,
        Verdict.STALE if value.how is How.STALE else verdict,
        Verdict.WITHIN if proof.plain else Verdict.OUT,
        asked.side,
        asked.bounds,
        value.low,
        value.high,
        value.how,
        proof.conforming,
        value.entries,
        value,
        words,
        sizes,
    )


def _nothing_known(item: Range, verdict: Verdict) -> bool:
    """Whether an end that decides was read with nothing known of the gauge.

    A gap of which only a blade that passes is known is out all the same where that blade is.
    """
    ends = [
        end
        for end, limit in ((item.low, item.lower), (item.high, item.upper))
        if limit is not None and proves_nothing(end.components)
    ]
    out = item.upper is not None and item.low.value > item.upper
    return bool(ends) and not (
        verdict is Verdict.OUT and out and not proves_nothing(item.low.components)
    )


def _moved(bounds: Bounds, by: Fraction) -> Bounds:
    """The limits of a standard size, for a size that is meant to be over or under it."""
    low = None if bounds.low is None else bounds.low + by
    high = None if bounds.high is None else bounds.high + by
    return Bounds(low, high, bounds.typed)


def _value(check: Check, sizes: Mapping[Key, Dimension]) -> Dimension | None:
    read = None if check.instance.inner else sizes.get(check.key)
    if read is not None:
        return read
    between = _between_read(check, sizes)
    if between is not None:
        return between
    worked_out = evaluate(check.instance, sizes)
    if worked_out is None:
        return None
    parts = [sizes[key] for _, key in check.instance.terms]
    how = How.WORKED_OUT
    for part in parts:
        if part.how in (How.STALE, How.ASSUMED):
            how = part.how
    return Dimension(
        check.key,
        *worked_out,
        how,
        tuple(dict.fromkeys(entry for part in parts for entry in part.entries)),
        as_new=all(part.as_new for part in parts),
    )


def _between_read(check: Check, sizes: Mapping[Key, Dimension]) -> Dimension | None:
    """The difference of two features whose basis was itself read: protrusion of two liners.

    What was read of the fit goes before its terms, as it does for the fit alone; what one gauge or
    one zero gave both of them cancels.
    """
    known = BY_NAME.get(check.limit.characteristic)
    if known is None or known.derive not in (Derive.NEIGHBOUR, Derive.ACROSS):
        return None
    first, _, second = check.instance.feature.partition(" to ")
    one, other = sizes.get(Key(first, known.basis)), sizes.get(Key(second, known.basis))
    if one is None or other is None:
        return None
    how = next((d.how for d in (one, other) if d.how in (How.STALE, How.ASSUMED)), How.WORKED_OUT)
    return Dimension(
        check.key,
        one.low - other.high,
        one.high - other.low,
        how,
        tuple(dict.fromkeys((*one.entries, *other.entries))),
        as_new=one.as_new and other.as_new,
    )


def _name(check: Check) -> str:
    """`bore 2 diameter`, `guide I3, intake stem clearance`: a check as it is spoken of."""
    feature, name = check.instance.feature, check.limit.name
    kind = feature.rsplit(" ", 1)[0]
    if feature == name or name.startswith(feature + " "):
        return name
    if name == kind or name.startswith(kind + " "):
        return f"{feature}{name[len(kind) :]}"
    return f"{feature}, {name}"


def _span(finding: Finding, words: Words) -> str:
    value, name = finding.value, finding.check.limit.characteristic
    assert value is not None
    if BY_NAME[name].derive in (Derive.NEIGHBOUR, Derive.ACROSS):
        return words.value(max(abs(value.low.value), abs(value.high.value)), name)
    return words.reading(value.low, value.high, name)


def _reason(finding: Finding, value: Dimension, words: Words) -> str:
    check = finding.check
    name = check.limit.characteristic
    assert finding.bounds is not None
    if BY_NAME[name].dimension == "test":
        note = f" ({value.note})" if value.note else ""
        return f"{_name(check)}: {'passed' if finding.plain is Verdict.WITHIN else 'failed'}{note}."
    shown = _span(finding, words)
    limit = words.bounds(finding.bounds, name)
    thumb = f", a rule of thumb ({check.limit.thumb})" if check.limit.thumb else ""
    head = f"{_name(check)} is {shown}"
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


def _ratio_reason(finding: Finding, sizes: Mapping[Key, Dimension]) -> str:
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


def _settle(finding: Finding) -> str:
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


def _to_read(check: Check, sizes: Mapping[Key, Dimension]) -> str:
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
