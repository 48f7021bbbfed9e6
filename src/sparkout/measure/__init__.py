"""Measuring: gauges, sizes, form, uncertainty. Knows readings, not engines."""
