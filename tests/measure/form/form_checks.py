"""Independent checks and oracles for form: nothing here uses the code under test's arithmetic."""

from __future__ import annotations

import itertools
import math

import numpy as np

from sparkout.measure.form.records import Balance, CircleFit, Method, Side

KINDS = ("round", "gross", "arc", "cloud", "cocircular", "repeated", "rounded", "tiny", "far", "nm")


def circle_set(kind: str, seed: int, count: int | None = None) -> np.ndarray:
    """A random set of readings of one kind, 3 to 10 unless told."""
    rng = np.random.default_rng([KINDS.index(kind), seed])
    n = int(rng.integers(3, 11)) if count is None else count
    turn = np.sort(rng.random(n)) * 2.0 * np.pi
    radius = np.full(n, 43.0)
    if kind == "round":
        radius = 43.0 + 0.01 * rng.standard_normal(n)
    elif kind == "gross":
        radius = 43.0 + 5.0 * rng.standard_normal(n) * (rng.random(n) < 0.3)
    elif kind == "arc":
        turn = turn * rng.uniform(0.05, 0.5)
        radius = 43.0 + 0.02 * rng.standard_normal(n)
    elif kind == "cloud":
        return 10.0 * rng.standard_normal((n, 2))
    elif kind == "repeated":
        turn = turn[rng.integers(0, n // 2 + 1, n)]
        radius = np.where(rng.random(n) < 0.5, 43.0, 43.0 + 0.01 * rng.standard_normal(n))
    elif kind == "rounded":
        radius = 43.0 + 2.0 * rng.random(n)
    elif kind == "tiny":
        radius = 1e-3 * (1.0 + 1e-3 * rng.standard_normal(n))
    elif kind == "far":
        radius = 43.0 + 0.01 * rng.standard_normal(n)
    elif kind == "nm":
        radius = 43.0 + 1e-9 * rng.standard_normal(n)
    points = np.stack([radius * np.cos(turn), radius * np.sin(turn)], axis=1)
    if kind == "rounded":
        return np.round(points)
    return points + np.array([1e4, -2e4]) if kind == "far" else points


def trace(count: int, seed: int = 0, radius: float = 43.0, form: float = 0.010) -> np.ndarray:
    """A lobed trace with noise, off centre."""
    rng = np.random.default_rng(seed)
    turn = (np.arange(count) + 0.6 * rng.random(count)) * 2.0 * np.pi / count
    distance = radius + form * (
        0.5 * np.cos(2.0 * turn + 6.0 * rng.random())
        + 0.3 * np.cos(3.0 * turn)
        + 0.2 * rng.standard_normal(count)
    )
    return np.stack([distance * np.cos(turn) + 0.3, distance * np.sin(turn) - 0.2], axis=1)


def bore(count: int, seed: int = 0, form: float = 0.010) -> np.ndarray:
    """A worn bore along z: lobed, tapered, bowed, tilted."""
    rng = np.random.default_rng(seed)
    turn, z = rng.random(count) * 2.0 * np.pi, rng.random(count) * 130.0 - 65.0
    radius = 43.0 + form * (0.5 * np.cos(2.0 * turn) + 0.3 * np.cos(3.0 * turn))
    radius += 2e-5 * z + 0.4 * form * (z / 65.0) ** 2 + 0.1 * form * rng.standard_normal(count)
    return np.stack(
        [radius * np.cos(turn) + 1e-4 * z + 0.01, radius * np.sin(turn) - 5e-5 * z, z], axis=1
    )


def distances(points: np.ndarray, x: float, y: float) -> np.ndarray:
    """Distances from a centre in extended precision."""
    wide = points.astype(np.longdouble)
    return np.hypot(wide[:, 0] - np.longdouble(x), wide[:, 1] - np.longdouble(y))


def check_balance(points: np.ndarray, fit: CircleFit) -> None:
    """The conditions of optimality of a minimax circle, from the record and the readings alone."""
    assert isinstance(fit.proof, Balance)
    away = distances(points, fit.x, fit.y)
    scale = float(np.abs(points).max())
    tiny = 64.0 * np.finfo(float).eps * scale
    assert abs(float(away.max()) - fit.highest) <= tiny
    assert abs(float(away.min()) - fit.lowest) <= tiny
    wants_outer = fit.method is not Method.INSCRIBED
    wants_inner = fit.method is not Method.CIRCUMSCRIBED
    pull = np.zeros(2)
    dual = 0.0
    for side, wanted, sign, border in (
        (Side.OUTER, wants_outer, 1.0, fit.highest),
        (Side.INNER, wants_inner, -1.0, fit.lowest),
    ):
        held = [contact for contact in fit.contacts if contact.side is side]
        assert bool(held) is wanted
        if not wanted:
            continue
        assert all(contact.share >= 0.0 for contact in held)
        assert math.isclose(math.fsum(contact.share for contact in held), 1.0, abs_tol=1e-9)
        for contact in held:
            if contact.share > 1e-6:
                assert abs(float(away[contact.index]) - border) <= max(1e-9, 1e3 * tiny)
            way = (points[contact.index] - [fit.x, fit.y]) / float(away[contact.index])
            pull += sign * contact.share * way
            dual += sign * contact.share * float(away[contact.index])
    # Convex combination of active gradients = 0, and no gap between value and dual value. What is
    # left of the balance could gain its size times a shift of the order of the form: below 1 pm.
    assert float(np.hypot(*pull)) < 1e-7
    assert float(np.hypot(*pull)) * fit.form < 1e-9
    value = (fit.highest if wants_outer else 0.0) - (fit.lowest if wants_inner else 0.0)
    assert value - dual <= max(1e-10, 10.0 * tiny)


def alternates(points: np.ndarray, fit: CircleFit) -> bool:
    """Whether the four contacts of a zone circle alternate round the turn: out, in, out, in."""
    held = [contact for contact in fit.contacts if contact.share > 1e-9]
    held.sort(
        key=lambda one: math.atan2(points[one.index, 1] - fit.y, points[one.index, 0] - fit.x)
    )
    sides = [contact.side for contact in held]
    return len(sides) == 4 and all(a is not b for a, b in itertools.pairwise(sides))


def exhaustive_zone(points: np.ndarray) -> float:
    """Least zone over every centre where two perpendicular bisectors of readings meet."""
    rows = points - points.mean(axis=0)
    normals, offsets = [], []
    for first, second in itertools.combinations(rows, 2):
        across = first - second
        size = float(np.hypot(*across))
        if size > 1e-13:
            normals.append(across / size)
            offsets.append(float(across @ (first + second)) / 2.0 / size)
    n, b = np.array(normals), np.array(offsets)
    i, j = np.triu_indices(len(n), 1)
    determinant = n[i, 0] * n[j, 1] - n[i, 1] * n[j, 0]
    good = np.abs(determinant) > 1e-12
    i, j, determinant = i[good], j[good], determinant[good]
    x = (b[i] * n[j, 1] - b[j] * n[i, 1]) / determinant
    y = (n[i, 0] * b[j] - n[j, 0] * b[i]) / determinant
    away = np.hypot(x[:, None] - rows[:, 0], y[:, None] - rows[:, 1])
    return float((away.max(axis=1) - away.min(axis=1)).min())


def exhaustive_inscribed(points: np.ndarray) -> float:
    """Largest empty circle through three readings that surround its centre; -1 where none is."""
    rows = points - points.mean(axis=0)
    scale = float(np.abs(rows).max())
    best = -1.0
    for a, b, c in itertools.combinations(rows, 3):
        u, v = b - a, c - a
        twice = 2.0 * float(u[0] * v[1] - u[1] * v[0])
        if abs(twice) < 1e-12 * scale * scale:
            continue
        centre = (
            a + np.array([v[1] * (u @ u) - u[1] * (v @ v), u[0] * (v @ v) - v[0] * (u @ u)]) / twice
        )
        radius = float(np.hypot(*(a - centre)))
        away = np.hypot(*(rows - centre).T)
        if radius <= best or float(away.min()) < radius - 2e-14 * scale:
            continue
        touching = rows[away <= radius * (1.0 + 1e-12)] - centre
        turns = np.sort(np.arctan2(touching[:, 1], touching[:, 0]))
        if float(np.diff(np.append(turns, turns[0] + 2.0 * np.pi)).max()) < np.pi - 1e-6:
            best = radius
    return best
