"""From a table of text to lines with prices: what each column means, and whether a file still fits what was said."""
