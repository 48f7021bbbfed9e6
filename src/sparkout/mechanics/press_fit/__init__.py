"""Press and shrink fits: thick cylinders of any metals and sizes, cold, hot and in service."""
