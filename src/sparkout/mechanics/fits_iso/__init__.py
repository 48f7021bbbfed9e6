"""ISO 286 limits and fits: IT grades 5 to 11, deviations d to s, sizes to 500 mm."""
