"""Cutting: allowances with corners shaped by the seam table, notches and snips, what the paper shows."""
