"""The bill of parts of a plan: what, how many, from where, and when to order it."""

from sparkout.plan.parts.bill import HERE, NOW, SHELF, WHEN_READ, Instead, PartLine, bill_of_parts

__all__ = ["HERE", "NOW", "SHELF", "WHEN_READ", "Instead", "PartLine", "bill_of_parts"]
