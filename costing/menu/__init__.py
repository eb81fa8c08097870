"""What to charge, what to keep, and how sure that is: the menu judged by what was sold, and decisions about it."""
