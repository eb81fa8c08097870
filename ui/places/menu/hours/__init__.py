"""Hours: what machines and people can do in a week, and the mix of drinks that earns most in it."""
