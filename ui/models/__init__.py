"""Models: rows of the book as Qt tables and trees."""
