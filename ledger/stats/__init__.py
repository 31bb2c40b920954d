"""Statistics: pure numbers in, frozen results out."""
