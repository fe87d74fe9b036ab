"""`python -m anim_lessons.rules` prints the table of the rules, as it stands in DEVELOPERS.md."""

from . import table

print(table())
