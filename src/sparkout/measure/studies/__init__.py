"""Gauge studies: how much of what a gauge shows is the gauge, the person, the part."""
