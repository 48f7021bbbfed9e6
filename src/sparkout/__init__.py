"""Sparkout: from bench readings to a proven machining plan, and on to a signed build record."""

__version__ = "0.1.0"
