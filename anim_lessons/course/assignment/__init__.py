"""An assignment set without code: what is filled in, its limb, what is written, and the panel that does it.

`fields` says what is wrong field by field, `draft` makes brief and start, `files` writes them with a notebook.
"""
