"""Form and size by the standards' terms, exact, each with the proof that it is the best.

Features through readings: `circle`, `cylinder`, `plane`, `line`, `axis` (records in `records`), and
`batch` for many sets. What traces and two-point readings say: `harmonics`, `trace_filter`,
`two_point`, `runout`, `bend`, and what they cannot say: `blind`. Alignment of bores: `lineup`.
Least metal to take off: `bore_clean_up`, `surface_cut`, `shims`. Tables for drawings: `bore_map`.
"""
