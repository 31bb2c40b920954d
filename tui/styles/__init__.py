"""Colours and layout of the terminal program."""
