"""What to keep: the menu judged by what was sold, how sure that is, and what the others become if a drink goes."""
