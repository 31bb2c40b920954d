"""Charts: an answer in, a picture out."""
