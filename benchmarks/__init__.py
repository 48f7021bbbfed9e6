"""Performance as ratios against a named general-purpose peer, measured in one run."""
