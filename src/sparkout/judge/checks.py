"""What is to be judged: every limit of the data sheet, for every feature it is about."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import combinations, pairwise

from sparkout.engine.characteristics import BY_NAME, Characteristic, Derive
from sparkout.engine.dimension import Dimension, Key
from sparkout.engine.frame import Feature, Frame
from sparkout.fits import FITS, Instance, instances
from sparkout.fits.ratio import ratio_instances
from sparkout.sheet.model import Bounds, DataSheet, Limit

__all__ = ["Check", "checks", "lash_checks"]


@dataclass(frozen=True, slots=True)
class Check:
    """One limit of one feature: the fit (or single size) it is about."""

    instance: Instance
    limit: Limit

    @property
    def key(self) -> Key:
        return self.instance.key

    @property
    def name(self) -> str:
        return f"{self.instance.feature}: {self.limit.name}"


def checks(sheet: DataSheet, frame: Frame) -> tuple[Check, ...]:
    """All checks an engine asks for: each limit of its sheet at each of its features.

    sheet: the engine's data sheet, its limits with it [-].
    frame: the features the engine has [-].
    Returns the checks, in the order of the data sheet.
    Holds for limits on the characteristics the engine room knows; others ask for no check.
    Source: the data sheet; what it does not limit is not checked.

    >>> from sparkout.cli.jobargs import demo_folder
    >>> from sparkout.load import files_in, load_job
    >>> job, _ = load_job(files_in(demo_folder("farm_single")))
    >>> checks(job.sheet, job.frame)[0].name
    'bore 1: bore diameter'
    """
    found: list[Check] = []
    for limit in sheet.limits.values():
        characteristic = BY_NAME.get(limit.characteristic)
        if characteristic is None:
            continue
        if characteristic.name == "compression ratio":
            found.extend(_ratio(limit, sheet, frame))
            continue
        for instance in _instances(characteristic, frame, sheet):
            if _is_for(limit, instance, sheet):
                found.append(Check(instance, _mirrored(limit, characteristic)))
    return tuple(found)


def lash_checks(
    sheet: DataSheet, frame: Frame, sizes: Mapping[Key, Dimension]
) -> tuple[Check, ...]:
    """Checks of the valve lash that was read, by the figures under `lash:` of the data sheet.

    Where `limits` says nothing of it; cold figures; one figure without a range is no limit.

    sheet: the data sheet [-].
    frame: what the engine has [-].
    sizes: what is known; only what was read is checked [mm].
    Returns one check for each valve that was read [-].
    Holds for lash, which is set when the engine goes together: it never stops a job (`should`).
    Source: the data sheet.

    >>> from sparkout.cli.jobargs import demo_folder
    >>> from sparkout.load import files_in, load_job
    >>> job, _ = load_job(files_in(demo_folder("workboat_four")))
    >>> lash_checks(job.sheet, job.frame, {})
    ()
    """
    spec = sheet.assembly.lash
    if spec is None or spec.method == "hydraulic":
        return ()
    found = []
    for valve in frame.of_kind("valve"):
        key = Key(valve.name, "valve lash")
        side = "intake" if "intake" in valve.tags else "exhaust"
        bounds = spec.cold.intake if side == "intake" else spec.cold.exhaust
        if key not in sizes or bounds is None or sheet.limit_for("valve lash", valve.tags):
            continue
        given = None if bounds.low == bounds.high else bounds
        limit = Limit(
            f"{side} valve lash", "valve lash", side, given, given, held="cold", must=False,
            source=spec.source,
        )  # fmt: skip
        found.append(Check(_single(valve, "valve lash"), limit))
    return tuple(found)


def _ratio(limit: Limit, sheet: DataSheet, frame: Frame) -> list[Check]:
    """A ratio is judged by two fits that are linear in the sizes: not below, and not above."""
    bounds = limit.side("new")
    if bounds is None:
        return []
    enough = Bounds(Fraction(0), None, bounds.typed)
    enough_limit = replace(limit, new=enough, service=enough)
    return [
        Check(instance, enough_limit)
        for bore in frame.of_kind("bore")
        for instance in ratio_instances(frame, bore, sheet.geometry, bounds.low, bounds.high)
    ]


def _instances(
    characteristic: Characteristic, frame: Frame, sheet: DataSheet
) -> tuple[Instance, ...]:
    match characteristic.derive:
        case Derive.NEIGHBOUR:
            return _differences(characteristic, frame, sheet, neighbours=True)
        case Derive.ACROSS:
            return _differences(characteristic, frame, sheet, neighbours=False)
    fit = FITS.get(characteristic.name)
    if fit is not None:
        return instances(fit, frame, sheet.geometry)
    return tuple(
        _single(feature, characteristic.name) for feature in frame.of_kind(characteristic.feature)
    )


def _single(feature: Feature, characteristic: str) -> Instance:
    terms = ((Fraction(1), Key(feature.name, characteristic)),)
    return Instance(characteristic, feature.name, terms, feature.tags)


def _differences(
    characteristic: Characteristic, frame: Frame, sheet: DataSheet, *, neighbours: bool
) -> tuple[Instance, ...]:
    """First less second for each pair: next to each other in a bank, or any two of the engine."""
    basis = BY_NAME[characteristic.basis]
    single = {item.feature: item for item in _instances(basis, frame, sheet)}
    if neighbours:
        names = [
            (f"{basis.feature} {first}", f"{basis.feature} {second}")
            for bank in frame.banks
            for first, second in pairwise(bank.cylinders)
        ]
    else:
        names = list(combinations(single, 2))
    found = []
    for first, second in names:
        if first in single and second in single:
            minus = tuple((-weight, key) for weight, key in single[second].terms)
            label = f"{first} to {second}"
            found.append(Instance(characteristic.name, label, _merged(single[first].terms + minus)))
    return tuple(found)


def _merged(terms: tuple[tuple[Fraction, Key], ...]) -> tuple[tuple[Fraction, Key], ...]:
    """Terms of the same size added up; what cancels is left out."""
    total: dict[Key, Fraction] = {}
    for weight, key in terms:
        total[key] = total.get(key, Fraction(0)) + weight
    return tuple((weight, key) for key, weight in total.items() if weight)


def _is_for(limit: Limit, instance: Instance, sheet: DataSheet) -> bool:
    """A qualified limit is for the features with that tag; the plain one for all the others."""
    best = sheet.limit_for(limit.characteristic, instance.tags)
    return best is limit


def _mirrored(limit: Limit, characteristic: Characteristic) -> Limit:
    """A limit on a difference counts both ways: at most 0.02 is −0.02 to 0.02."""
    if characteristic.derive not in (Derive.NEIGHBOUR, Derive.ACROSS):
        return limit

    def both(bounds: Bounds | None) -> Bounds | None:
        if bounds is None or bounds.high is None:
            return bounds
        return replace(bounds, low=-bounds.high)

    return replace(limit, new=both(limit.new), service=both(limit.service))
