"""Wear of parts that are kept: rates, how long until a limit, drift of the gauges themselves."""
