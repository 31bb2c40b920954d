"""The terminal program."""
