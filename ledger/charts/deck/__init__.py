"""Slides: answers in, one file out that a staff can show and change.

`deck.write` is the door. A page (`pages`) says what stands on a slide; `stage` knows the template
and where there is room; `boards` puts pages on slides; `parcel` makes the bytes of the file.
"""
