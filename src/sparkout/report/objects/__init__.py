"""Results as plain objects for --json and other programs: stable keys, money as numbers."""
