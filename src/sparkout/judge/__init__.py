"""Judging: limit against value. Within, not proven, out, not measured, stale; and why."""
