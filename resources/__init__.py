"""What the program ships beside its code: fonts, tables and the starter script."""
