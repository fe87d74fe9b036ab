"""The workbook: check cells, panels, record, marking, glossary. Imports all other rooms but `physics` and `commands`."""
