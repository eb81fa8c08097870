"""What was sold: the periods in the book, and the files of a till that bring more of them."""
