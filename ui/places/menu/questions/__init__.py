"""Questions about the menu, each with a few fields and an answer."""
