"""The finite film's mobility and its derivatives in bare arithmetic.

One body serves plain numbers, arrays and the compiler, so nothing here is imported or tested for:
whoever calls takes the square roots. `on` is 1 for the finite film and 0 for the short one.
"""

from __future__ import annotations

from typing import Any

NARROW, NARROW_ASIDE = 0.3183098861837907, 0.4052847345693511
"""1 ÷ π and 4 ÷ π²: Booker's short bearing, along the load and aside."""
WIDE, WIDE_ASIDE = 0.150, 0.1125
"""What is left when the bearing is not narrow (form of Moes and Bosma)."""

# x is ξ, y is η, q = (1 − ξ)(D/L)², r = √q, u = η² ÷ (1 − ξ²): 0 on the load line, 1 on the edge.
# Fit to 1050 grid solutions, by alternating choice of terms x^i u^j times 1, q or √q.


def brackets(x: Any, y: Any, q: Any, r: Any, gap: Any, on: float) -> tuple[Any, ...]:
    """Brackets of the mobility along and aside, each with its derivatives by ξ and η."""
    x2 = x * x
    x3 = x2 * x
    u_y = 2.0 * y / (1.0 - x2)
    u = 0.5 * u_y * y
    u_x = x * u_y * u_y * 0.5
    xu = x * u
    r_x = -0.5 * r / gap
    q_x = -q / gap
    b = (0.0202 + 0.0459 * xu) * u - 0.0379 * x3
    c = 0.0752 * x3 + 0.118 * u
    by_u = on * (0.0822 * x + (0.0202 + 0.0918 * xu) * q + 0.118 * r)
    p = NARROW * q + on * (WIDE - 0.0462 + 0.0528 * x + 0.0822 * xu + b * q + c * r)
    p_x = NARROW * q_x + by_u * u_x
    p_x = p_x + on * (
        0.0528 + 0.0822 * u + (0.0459 * u * u - 0.1137 * x2) * q + 0.2256 * x2 * r
        + b * q_x + c * r_x
    )  # fmt: skip
    b2 = (0.0498 * xu - 0.0621 * x3) * u
    c2 = 0.197 * x3 + (0.0909 + 0.0234 * x) * u
    by_u2 = on * ((0.0996 * xu - 0.0621 * x3) * q + (0.0909 + 0.0234 * x) * r)
    p2 = NARROW_ASIDE * q + on * (WIDE_ASIDE - 0.075 + 0.14 * x - 0.0469 * x3 + b2 * q + c2 * r)
    p2_x = NARROW_ASIDE * q_x + by_u2 * u_x
    p2_x = p2_x + on * (
        0.14 - 0.1407 * x2 + (0.0498 * u - 0.1863 * x2) * u * q
        + (0.591 * x2 + 0.0234 * u) * r + b2 * q_x + c2 * r_x
    )  # fmt: skip
    return p, p_x, by_u * u_y, p2, p2_x, by_u2 * u_y


def turned(
    x: Any, y: Any, c: Any, s: Any, k: Any, w: Any, eta: Any, gap: Any, root: Any,
    p: Any, p_x: Any, p_y: Any, p2: Any, p2_x: Any, p2_y: Any,
) -> tuple[Any, ...]:  # fmt: skip
    """Rates x, y and their derivatives xx, xy, yx, yy, out of the load's frame into the axes.

    c, s: direction of the load; k: its strength; w: spin; root: √gap; the rest from `brackets`.
    """
    back = k * root
    front = back * gap
    side = back * p2
    m, n = front * p, -eta * side
    m_xi, m_eta = front * p_x - 1.5 * back * p, front * p_y
    n_xi, n_eta = eta * (0.5 * side / gap - back * p2_x), -side - eta * back * p2_y
    # R M, and R M' R^T.
    first_x, first_y = m_xi * c - n_xi * s, m_xi * s + n_xi * c
    second_x, second_y = m_eta * c - n_eta * s, m_eta * s + n_eta * c
    return (
        m * c - n * s - w * y,
        m * s + n * c + w * x,
        first_x * c - second_x * s,
        first_x * s + second_x * c - w,
        first_y * c - second_y * s + w,
        first_y * s + second_y * c,
    )
