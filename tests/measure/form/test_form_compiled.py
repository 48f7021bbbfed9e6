"""Compiled code gives what numpy gives; skipped where the extra "fast" is not installed."""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pytest
from form_checks import bore, circle_set, trace

from sparkout.measure.form.batch import associated_circles
from sparkout.measure.form.circle import associated_circle
from sparkout.measure.form.cylinder import associated_cylinder
from sparkout.measure.form.plane import associated_plane
from sparkout.measure.form.records import Method, Scope, UndeterminedError

numba = pytest.importorskip("numba", reason='the extra "fast" (numba) is not installed')

MINIMAX = (Method.MINIMUM_ZONE, Method.CIRCUMSCRIBED, Method.INSCRIBED)


@pytest.mark.parametrize("method", list(Method))
def test_batch_of_traces_agrees(method: Method) -> None:
    sets = [trace(count, seed) for seed in range(8) for count in (8, 24, 300)]
    quick = associated_circles(sets, method)
    plain = associated_circles(sets, method, engine="numpy")
    for field in ("x", "y", "radius", "highest", "lowest", "form"):
        assert getattr(quick, field) == pytest.approx(getattr(plain, field), abs=2e-12)
    assert quick.proven.tolist() == plain.proven.tolist()
    if method is not Method.LEAST_SQUARES:
        assert quick.proven.all()
        for one, other in zip(quick.contacts.tolist(), plain.contacts.tolist(), strict=True):
            assert sorted(one) == sorted(other)


@pytest.mark.parametrize("kind", ["round", "gross", "rounded", "far", "nm", "cocircular", "arc"])
def test_batch_leaves_hard_sets_to_the_general_way(kind: str) -> None:
    sets = [circle_set(kind, seed, 9) for seed in range(6)]
    quick, plain = associated_circles(sets), [associated_circle(points) for points in sets]
    assert quick.form.tolist() == pytest.approx([fit.form for fit in plain], abs=1e-11)
    assert quick.proven.tolist() == [fit.proof.scope is Scope.GLOBAL for fit in plain]


@pytest.mark.parametrize("method", list(Method))
def test_single_circle_agrees(method: Method) -> None:
    for seed in range(5):
        points = trace(36, seed)
        quick = associated_circle(points, method, engine="compiled")
        plain = associated_circle(points, method)
        assert (quick.x, quick.y) == pytest.approx((plain.x, plain.y), abs=1e-12)
        assert quick.form == pytest.approx(plain.form, abs=1e-13)
        assert {one.index for one in quick.contacts} == {one.index for one in plain.contacts}
        assert quick.proof.scope is plain.proof.scope


@pytest.mark.parametrize("count", [4, 24, 400])
def test_single_plane_agrees(count: int) -> None:
    rng = np.random.default_rng(count)
    points = 300.0 * rng.random((count, 3)) * np.array([1.0, 0.5, 1e-4])
    quick, plain = associated_plane(points, engine="compiled"), associated_plane(points)
    assert quick.form == pytest.approx(plain.form, abs=1e-13)
    assert quick.normal == pytest.approx(plain.normal, abs=1e-13)


@pytest.mark.parametrize("method", MINIMAX)
def test_single_cylinder_agrees(method: Method) -> None:
    for seed in range(4):
        points = bore(20 + 40 * seed, seed)
        quick = associated_cylinder(points, method, near=(0, 0, 1), engine="compiled")
        plain = associated_cylinder(points, method, near=(0, 0, 1))
        assert quick.form == pytest.approx(plain.form, abs=1e-9)
        assert quick.radius == pytest.approx(plain.radius, abs=1e-9)


def test_faults_of_a_batch_name_the_set() -> None:
    with pytest.raises(ValueError, match="reading 1 of set 1"):
        associated_circles([trace(8), [(0.0, 1.0), (float("nan"), 0.0)]])
    with pytest.raises(UndeterminedError, match="lie on one line"):
        associated_circles([trace(8), [(0, 0), (1, 1), (2, 2)]])
    assert associated_circles([]).x.size == 0


def test_compiler_is_loaded_only_when_asked_for() -> None:
    """A fresh interpreter fits in numpy without importing numba, and says what is missing."""
    script = (
        "import sys\n"
        "sys.modules['numba'] = None\n"
        "from sparkout.measure.form.circle import associated_circle\n"
        "from sparkout.measure.form._fast import CompilerMissingError\n"
        "ring = [(10.01, 0), (0, 10.0), (-10.01, 0), (0, -10.0)]\n"
        "assert round(associated_circle(ring).form, 9) == 0.01\n"
        "try:\n"
        "    associated_circle(ring, engine='compiled')\n"
        "except CompilerMissingError as error:\n"
        "    print(error)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    assert 'install sparkout with the extra "fast"' in done.stdout
