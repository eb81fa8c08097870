"""A file against the book: what each line would change, what is held and why, and what it does to every drink."""
