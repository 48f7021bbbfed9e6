"""The shop's gauges and masters, and what each leaves uncertain in a reading."""
