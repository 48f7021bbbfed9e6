"""Helical compression springs: rate, stress, surge, and the valve spring as installed."""
