"""Step pictures made from the real outlines. They see only seams, runs, copies and what is sewn so far."""
