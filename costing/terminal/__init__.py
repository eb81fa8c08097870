"""The terminal face: arguments in, text or JSON out. Commands call the core and word what it answers."""
