"""The invented bar that comes with the program."""
