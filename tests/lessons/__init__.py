"""The pictures of styles/README.md, painted from the drafts of the lessons: `python -m tests.lessons` paints them anew."""
