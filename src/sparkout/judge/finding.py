"""A finding: one limit held against what is known, with its verdict and the reason."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from sparkout.engine.characteristics import BY_NAME, Derive
from sparkout.engine.dimension import Dimension, How, Key
from sparkout.fits import evaluate
from sparkout.judge.basis import Basis
from sparkout.judge.checks import Check
from sparkout.judge.proof import DECISION_RULES, Proof, Range, decide, prove_all
from sparkout.judge.reasons import check_name, ratio_reason, reason_of, settled_by, span_of, to_read
from sparkout.judge.verdict import Verdict
from sparkout.judge.words import Words
from sparkout.measure.estimate import Estimate
from sparkout.measure.gauges.register import Register
from sparkout.measure.gauges.sources import marks_of, proves_nothing
from sparkout.sheet.model import Bounds, Side

__all__ = ["Finding", "Verdict", "judge", "judge_all", "judge_each"]


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
            return f"{check_name(self.check)}: not measured."
        assert self.value is not None
        if self.verdict is Verdict.NO_LIMIT:
            return f"{check_name(self.check)}: {span_of(self, self.words)}; no limit given."
        said = (
            ratio_reason(self, self.sizes)
            if self.check.instance.inner
            else reason_of(self, self.value, self.words)
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
            return to_read(self.check, self.sizes)
        return "" if self.value is None else settled_by(self)


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
