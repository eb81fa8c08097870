"""What stands around the places."""
