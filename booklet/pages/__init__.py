"""Pages: a Job's words and drawings laid out on sheets, in the reader's language and units. Nothing is painted here."""
