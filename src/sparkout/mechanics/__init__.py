"""Textbook mechanics of the trade: one small module a topic, pure functions over plain numbers.

Units are mm, N, N·m, MPa, °C and g unless a name says another. Physics that cannot be (an
interference that does not hold, a bolt past yield where an elastic answer is asked) is refused with
a ValueError naming the number, the bound and what would be right; what may be but should be looked
at comes back beside the result as a `cautions.Caution`. No limit is built in: a rule of thumb is
said to be one wherever it shows.
"""
