"""Drafting: measures and formulas to points, lines and pieces with named edges."""
