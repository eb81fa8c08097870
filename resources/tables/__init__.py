"""Starting values that ship with the program, as comma-separated text. ``costing.tables`` is their only reader.

UTF-8, one header row, no comment lines; every row says its ``source`` and its ``basis``: read (in the source named),
computed (from figures read) or memory (check it before quoting it). A house's own figures always come first.
"""
