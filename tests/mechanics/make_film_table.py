"""Makes src/sparkout/mechanics/oil_film/steady_table.py from the grid solution (some minutes).

Run from the project's folder: python tests/mechanics/make_film_table.py
"""

from __future__ import annotations

from multiprocessing import Pool
from pathlib import Path

from sparkout.mechanics.oil_film.film_numbers import FilmNumbers
from sparkout.mechanics.oil_film.reynolds import solve_film

LENGTH_RATIOS = tuple(0.25 * 2.0 ** (step / 2.0) for step in range(-1, 7))
ECCENTRICITIES = (
    0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.775, 0.85, 0.9, 0.93, 0.95, 0.97,
)  # fmt: skip
COARSE, FINE = (160, 12), (320, 24)
HEAD = '''"""Table of the grid solution of `reynolds`, made by tests/mechanics/make_film_table.py.

Each entry: load number S, attitude [°], flow, side flow share, pressure ratio, extrapolated from
two grids ({coarse[0]} by {coarse[1]} and {fine[0]} by {fine[1]} steps) on their second-order error.
"""

from __future__ import annotations

__all__ = ["ECCENTRICITIES", "LENGTH_RATIOS", "ROWS"]

'''


def refined(length_ratio: float, eccentricity: float) -> FilmNumbers:
    """Both grids and Richardson's extrapolation of their second-order error."""
    coarse = solve_film(length_ratio, eccentricity, *COARSE)
    fine = solve_film(length_ratio, eccentricity, *FINE)
    return FilmNumbers(*(f + (f - c) / 3.0 for c, f in zip(coarse, fine, strict=True)))


def entry(place: tuple[float, float]) -> tuple[float, ...]:
    film = refined(*place)
    return (film.sommerfeld, film.attitude, film.flow, film.side_share, film.pressure_ratio)


def main() -> None:
    places = [(ratio, eps) for ratio in LENGTH_RATIOS for eps in ECCENTRICITIES]
    with Pool(2) as pool:
        entries = pool.map(entry, places, chunksize=1)
    lines = [HEAD.format(coarse=COARSE, fine=FINE)]
    for name, values, meaning in (
        ("LENGTH_RATIOS", LENGTH_RATIOS, "Length over diameter [-], one a block of rows."),
        ("ECCENTRICITIES", ECCENTRICITIES, "Eccentricity ratio [-], one a row of a block."),
    ):
        text = ", ".join(f"{value:.10g}" for value in values)
        lines.append(f'{name}: tuple[float, ...] = ({text})\n"""{meaning}"""\n\n')
    lines.append("ROWS: tuple[tuple[tuple[float, ...], ...], ...] = (\n")
    for number, _ in enumerate(LENGTH_RATIOS):
        block = entries[number * len(ECCENTRICITIES) : (number + 1) * len(ECCENTRICITIES)]
        lines.append("    (\n")
        for row in block:
            lines.append("        (" + ", ".join(f"{value:.5g}" for value in row) + "),\n")
        lines.append("    ),\n")
    lines.append(")\n")
    target = Path("src/sparkout/mechanics/oil_film/steady_table.py")
    target.write_text("".join(lines), encoding="utf-8")


if __name__ == "__main__":
    main()
