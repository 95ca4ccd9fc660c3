"""Painters of the display list, and the full-scale sheet with its tiles."""
