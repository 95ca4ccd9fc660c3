"""Cloth: pieces laid on cloths of one width, lengths to buy, and amounts of notions."""
