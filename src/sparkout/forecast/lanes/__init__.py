"""Many draws of one engine compiled at once: what differs between them is figures in arrays.

All draws have the same features read, so the same options, limits and windows; a lane is one draw.
"""
