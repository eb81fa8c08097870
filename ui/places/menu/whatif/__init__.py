"""What if: scenarios laid over the book, side by side, why the margin moves, and which price moves it."""
