"""The workbook: what its notebooks call, progress, marking, glossary. Imports every other room."""
