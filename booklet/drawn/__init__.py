"""The draft itself as pictures: its construction and its pieces with the names that stand in the file."""
