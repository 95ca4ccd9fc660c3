"""Benches: `python -m tests.bench NAME`, run by hand from the top of the checkout. Nothing in here is a test."""
