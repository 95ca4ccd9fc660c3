"""Generated damage to the shipped styles, and a table kept by hand of what the checker must say of each."""
