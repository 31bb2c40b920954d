"""Ratios against a baseline in the same run: `python -m tests.benchmarks [NAME…]`.

Seconds say something about one machine; a ratio against a baseline that was timed in the same run
says something about the program. None of these is a test: nothing fails because a machine is slow.
"""
