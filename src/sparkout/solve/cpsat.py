"""The model through CP-SAT (ortools, an optional extra): exact integers, a second opinion."""

from __future__ import annotations

from sparkout.solve.answer import Effort, Fixed, NoPlan, Optimum, OverBudget
from sparkout.solve.check import price, violations
from sparkout.solve.linear import Row, cuts, program
from sparkout.solve.model import Model
from sparkout.solve.objective import pack

__all__ = ["cpsat"]

MOST_ROUNDS = 200


def cpsat(model: Model, *, seconds: float = 600.0, workers: int = 1) -> Optimum | NoPlan:
    """The optimum by CP-SAT. Raises OverBudget after `seconds`."""
    from ortools.sat.python import cp_model

    objective = pack(model)
    if any(not choice.options for choice in model.choices):
        return NoPlan((), "cpsat")
    made = program(model, objective)
    if made is None:
        return NoPlan((), "cpsat")
    cp = cp_model.CpModel()
    columns = [
        cp.new_int_var(low, high, "") for low, high in zip(made.lower, made.upper, strict=True)
    ]

    def add(row: Row) -> None:
        cp.add_linear_constraint(
            cp_model.LinearExpr.weighted_sum([columns[k] for k in row.columns], row.values),
            -(1 << 62) if row.lower is None else row.lower,
            (1 << 62) if row.upper is None else row.upper,
        )

    for row in made.rows:
        add(row)
    cp.minimize(cp_model.LinearExpr.weighted_sum(columns, made.cost))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = workers
    solver.parameters.max_time_in_seconds = seconds
    nodes = 0
    for rounds in range(1, MOST_ROUNDS + 1):
        status = solver.solve(cp)
        nodes += int(solver.num_branches)
        effort = Effort(rounds=rounds, nodes=nodes)
        if status == cp_model.INFEASIBLE:
            return NoPlan((), "cpsat", effort=effort)
        if status != cp_model.OPTIMAL:
            raise OverBudget(f"CP-SAT stopped with {solver.status_name(status)}")
        options = [
            next(k for k in range(len(choice.options)) if solver.value(columns[first + k]))
            for first, choice in zip(made.option_at, model.choices, strict=True)
        ]
        amounts = [int(solver.value(columns[k])) for k in made.amount_at]
        more = cuts(made, model, options, amounts)
        if not more:
            picks = {c.name: c.options[k] for c, k in zip(model.choices, options, strict=True)}
            steps = {a.name: k for a, k in zip(model.amounts, amounts, strict=True)}
            broken = violations(model, picks, steps)
            if broken:
                raise AssertionError(f"CP-SAT returned a plan that is not allowed: {broken[0]}")
            cost, preference = price(model, picks, steps)
            return Optimum(cost, preference, Fixed(picks), Fixed(steps), "cpsat", effort=effort)
        for row in more:
            add(row)
    raise OverBudget(f"CP-SAT found a broken row in each of {MOST_ROUNDS} rounds")
