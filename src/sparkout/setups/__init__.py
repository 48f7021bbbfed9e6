"""What a machinist dials in: one small file for each kind of set-up, each with its source on top.

`set_ups` makes all of a plan, step by step. Each kind also has a function of its own for plain
numbers, whose result is a `SetUp`: the numbers, the sum behind each, the passes, where to stop and
look, what to read when it is done. Whatever is assumed, not proven, stale or a rule of thumb says
so on the line of every number it went into.
"""
