"""The command line: open the workbook, judge action files, export and print them, mark a class. Imports `assist`, `course`, `ferry`,
`judging`, `light_table`, `model`, `paper`, `pictures` and `storage`.

Whatever is slow to load is loaded by the command that needs it, so that a check costs what a check costs.

    group     what all commands have alike: help, version, errors in a line or two
    workbook  open
    drawings  check, guide, mend
    pictures  export, demo
    sheets    print, scan
    marking   mark
"""

# Each adds its commands.
from . import drawings, marking, pictures, sheets, workbook
from .group import main

__all__ = ["drawings", "main", "marking", "pictures", "sheets", "workbook"]
