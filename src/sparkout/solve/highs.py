"""The model through HiGHS, with its answers rounded and held against exact integers."""

from __future__ import annotations

from typing import Any

import numpy as np

from sparkout.solve.answer import Effort, Fixed, NoPlan, Optimum, OverBudget
from sparkout.solve.check import price, violations
from sparkout.solve.linear import Program, Row, cuts, program
from sparkout.solve.model import Model
from sparkout.solve.objective import pack

__all__ = ["highs"]

# Rounds of adding broken rows; each adds at least one new row.
MOST_ROUNDS = 200


def highs(model: Model, *, seconds: float = 600.0) -> Optimum | NoPlan:
    """The optimum by HiGHS. Raises OverBudget after `seconds`, or where it cannot be exact."""
    import highspy

    objective = pack(model)
    if any(not choice.options for choice in model.choices):
        return NoPlan((), "highs")
    made = program(model, objective)
    if made is None:
        return NoPlan((), "highs")
    make: Any = highspy.Highs
    solver = make()
    solver.silent()
    for name, value in (
        ("mip_rel_gap", 0.0),
        ("mip_abs_gap", 0.5),
        ("mip_feasibility_tolerance", 1e-7),
        ("threads", 1),
        ("parallel", "off"),
        ("time_limit", seconds),
    ):
        solver.setOptionValue(name, value)
    if solver.passModel(_program(highspy, made)) != highspy.HighsStatus.kOk:
        raise AssertionError("HiGHS refused the program")
    nodes = 0
    for rounds in range(1, MOST_ROUNDS + 1):
        solver.run()
        status = solver.getModelStatus()
        nodes += int(solver.getInfo().mip_node_count)
        effort = Effort(rounds=rounds, nodes=nodes)
        if status in (
            highspy.HighsModelStatus.kInfeasible,
            highspy.HighsModelStatus.kUnboundedOrInfeasible,
        ):
            return NoPlan((), "highs", effort=effort)
        if status not in (
            highspy.HighsModelStatus.kOptimal,
            highspy.HighsModelStatus.kModelEmpty,
        ):
            raise OverBudget(f"HiGHS stopped with {solver.modelStatusToString(status)}")
        found = np.asarray(solver.getSolution().col_value)
        options = [
            int(np.argmax(found[first : first + len(choice.options)]))
            for first, choice in zip(made.option_at, model.choices, strict=True)
        ]
        amounts = [round(float(found[k])) for k in made.amount_at]
        picks = {c.name: c.options[k] for c, k in zip(model.choices, options, strict=True)}
        steps = {a.name: k for a, k in zip(model.amounts, amounts, strict=True)}
        more = cuts(made, model, options, amounts)
        if not more:
            broken = violations(model, picks, steps)
            if broken:
                raise OverBudget(f"HiGHS rounded to a plan that is not allowed: {broken[0]}")
            cost, preference = price(model, picks, steps)
            return Optimum(cost, preference, Fixed(picks), Fixed(steps), "highs", effort=effort)
        for row in more:
            solver.addRow(*_row(highspy, row))
    raise OverBudget(f"HiGHS found a broken row in each of {MOST_ROUNDS} rounds")


def _program(highspy: Any, made: Program) -> Any:
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = len(made.cost), len(made.rows)
    lp.col_cost_ = np.array(made.cost, dtype=np.float64)
    lp.col_lower_ = np.array(made.lower, dtype=np.float64)
    lp.col_upper_ = np.array(made.upper, dtype=np.float64)
    sides = [_sides(highspy, row) for row in made.rows]
    lp.row_lower_ = np.array([low for low, _ in sides])
    lp.row_upper_ = np.array([high for _, high in sides])
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = np.cumsum([0, *[len(row.columns) for row in made.rows]])
    lp.a_matrix_.index_ = np.array([c for row in made.rows for c in row.columns])
    lp.a_matrix_.value_ = np.array([v for row in made.rows for v in row.values], dtype=np.float64)
    lp.integrality_ = [highspy.HighsVarType.kInteger] * len(made.cost)
    return lp


def _sides(highspy: Any, row: Row) -> tuple[float, float]:
    low = -highspy.kHighsInf if row.lower is None else float(row.lower)
    high = highspy.kHighsInf if row.upper is None else float(row.upper)
    return low, high


def _row(highspy: Any, row: Row) -> tuple[float, float, int, Any, Any]:
    low, high = _sides(highspy, row)
    return (
        low,
        high,
        len(row.columns),
        np.array(row.columns, dtype=np.int32),
        np.array(row.values, dtype=np.float64),
    )
