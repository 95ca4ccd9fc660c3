"""Seams: the recipe's runs resolved against the copies, compared section by section, kept as a table."""
