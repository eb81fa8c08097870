"""What people do to a book, as pure functions: a Book and what was typed in, a Step (or the reason why not) out.

Every face builds its edits here; none of them touches a record itself.
"""
