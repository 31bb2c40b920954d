"""The brief: the whole story in one page for people who were not in the room.

`making.Brief` is the door. `chapters` and `sections` say what stands in it, `tables` and `pictures`
make rows and drawings part of the page, `markup` makes every text inert, `page` holds it together.
"""
