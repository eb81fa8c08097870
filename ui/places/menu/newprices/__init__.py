"""New prices for a whole menu at once: an overall aim, limits, and the smallest changes that meet them."""
