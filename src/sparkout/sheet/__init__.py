"""Reads data sheets and shop files; every fault with its line."""
