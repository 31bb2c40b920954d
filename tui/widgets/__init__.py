"""Widgets of the terminal program."""
