"""Readings from outside: files, spreadsheets, pasted text, gauges that type; and doubts about them.

Nothing here writes anything: drafts of readings and faults come out, and questions where a file
can be read in two ways.
"""
