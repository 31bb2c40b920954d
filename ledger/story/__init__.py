"""What the brief and the slides tell: the same story from the same answers, in the same order."""
