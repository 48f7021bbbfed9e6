"""Uncertainty: distributions of sums, budgets, Monte Carlo, whole engines at once."""
