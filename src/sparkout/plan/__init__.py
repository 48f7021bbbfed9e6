"""Deciding: the options of every group, the model they make, its least-cost plan, and why."""
