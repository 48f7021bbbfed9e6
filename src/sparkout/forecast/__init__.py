"""Before everything is measured: the range of the price, and what to read next."""
