"""Intake: a stranger's file to stored and rejected rows."""
