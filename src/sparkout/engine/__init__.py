"""The engine as it is: its features, their characteristics, and the measured state of each."""
